/* SPDX-License-Identifier: MIT */
/* The space of a search: typed variables. A point is an array of one double a
 * variable: the value of a number, the index (from 0) of a choice. */
#ifndef BV_SEARCH_SPACE_H
#define BV_SEARCH_SPACE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/random.h"
#include "base/status.h"

typedef enum bv_scale {
  BV_SCALE_REAL,    /* lo … hi, linear */
  BV_SCALE_LOG,     /* lo … hi, logarithmic, lo > 0 */
  BV_SCALE_WHOLE,   /* whole numbers lo … hi */
  BV_SCALE_STEP,    /* lo, lo + step, … up to hi */
  BV_SCALE_CHOICE,  /* indices 0 … hi, lo = 0; neighbours need not be alike */
  BV_SCALE_ORDERED, /* indices 0 … hi of a list whose neighbours are alike */
  BV_SCALE_COUNT
} bv_scale;

typedef struct bv_variable {
  const char *name; /* owned by the caller of the search */
  bv_scale scale;
  double lo, hi; /* finite, lo <= hi */
  double step;   /* BV_SCALE_STEP: > 0 */
} bv_variable;

typedef struct bv_space {
  const bv_variable *variables;
  size_t count; /* 1 … BV_SPACE_MOST */
} bv_space;

enum { BV_SPACE_MOST = 64, BV_LEVELS_MOST = 1000000 };

/* True where the variable takes only values of a grid. */
bool bv_variable_is_discrete(const bv_variable *variable);

/* Values of a discrete variable; 0 for a continuous one. */
size_t bv_variable_levels(const bv_variable *variable);

/* The allowed value nearest to a number (clamped to the range). */
double bv_variable_snap(const bv_variable *variable, double value);

/* From the unit interval to an allowed value, and back; discrete variables
 * share the interval equally among their levels. */
double bv_variable_decode(const bv_variable *variable, double unit);
double bv_variable_encode(const bv_variable *variable, double value);

/* One variable of a Latin hypercube (M. McKay, R. Beckman, W. Conover,
 * Technometrics 21, 1979): count values, `stride` numbers apart from x on, one
 * from each of count equal strata, in random order. order: count places. */
void bv_variable_spread(const bv_variable *variable, bv_random *random,
                        size_t count, size_t *order, double *x, size_t stride);

/* BV_BAD_DATA where a variable can't be searched: a range that is empty, not
 * finite or (log) not positive, a step that isn't positive, more levels than
 * BV_LEVELS_MOST; or where there is none, or more than BV_SPACE_MOST. */
bv_status bv_space_check(const bv_space *space, bv_error *error);

/* Points of a space of discrete variables alone; INFINITY for others. */
double bv_space_size(const bv_space *space);

/* Brings every value of x to the nearest allowed one. */
void bv_space_snap(const bv_space *space, double *x);

#endif
