/* SPDX-License-Identifier: MIT */
/* Formulas: functions of the models that take named numbers. One row gives a
 * formula's arguments with units, ranges and defaults, its results, its source
 * and an example; the function scripts call, the reference, the definitions for
 * editors and `explain` all come from it. */
#ifndef BV_SCRIPT_FORMULA_H
#define BV_SCRIPT_FORMULA_H

#include <lua.h>
#include <stddef.h>

#include "base/field.h"

enum { BV_FORMULA_ARGUMENTS_MOST = 20, BV_FORMULA_RESULTS_MOST = 10 };

/* A result: a number, or a text where it isn't NULL. */
typedef struct bv_answer {
  double number;
  const char *text; /* static */
} bv_answer;

typedef struct bv_formula {
  const char *name, *meaning;
  const char *source;  /* equation and where it comes from */
  const char *example; /* arguments in Lua: what a test runs */
  bv_fields arguments; /* offsets are slots of a double each */
  bv_fields results;   /* one is returned alone, several as a table; offsets
                          are not used */
  void (*compute)(const double *arguments, bv_answer *results);
} bv_formula;

/* Fields of the i-th argument: a number, a whole number, a word, a flag. */
#define BV_ARGUMENT(i, kind, name, unit, lo, hi, fallback, words, meaning)     \
  { name, unit, meaning, kind, (i) * sizeof(double), lo, hi, fallback, words }
#define BV_IN(i, name, unit, lo, hi, fallback, meaning)                        \
  BV_ARGUMENT(i, BV_NUMBER, name, unit, lo, hi, fallback, NULL, meaning)
#define BV_IN_WHOLE(i, name, lo, hi, fallback, meaning)                        \
  BV_ARGUMENT(i, BV_WHOLE, name, "", lo, hi, fallback, NULL, meaning)
#define BV_IN_WORD(i, name, words, fallback, meaning)                          \
  BV_ARGUMENT(i, BV_WORD, name, "", 0, HUGE_VAL, fallback, words, meaning)
#define BV_IN_FLAG(i, name, meaning)                                           \
  BV_ARGUMENT(i, BV_FLAG, name, "", 0, 1, 0, NULL, meaning)
#define BV_OUT(kind, name, unit, meaning)                                      \
  { name, unit, meaning, kind, 0, -HUGE_VAL, HUGE_VAL, 0, NULL }

/* Pushes the Lua function of a formula; module is its module's short name, for
 * messages ("magnetics"). */
void bv_formula_push(lua_State *L, const bv_formula *formula,
                     const char *module);

#endif
