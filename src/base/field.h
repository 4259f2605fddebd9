/* SPDX-License-Identifier: MIT */
/* Fields: one description of each named quantity a struct holds.
 *
 * A table of fields beside a struct is the single place from which its
 * quantities get name, unit, meaning, range and default. Readers of Lua tables
 * and of catalogue files fill the struct by it; the CSV header, the sidecar,
 * the text of `point` and the documentation are printed from it. */
#ifndef BV_BASE_FIELD_H
#define BV_BASE_FIELD_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

typedef enum bv_kind {
  BV_NUMBER, /* double, SI unit */
  BV_WHOLE,  /* double that holds a whole number */
  BV_TEXT,   /* char[BV_TEXT_SIZE], NUL-terminated */
  BV_WORD,   /* int, index into `words` */
  BV_FLAG,   /* bool */
  BV_KIND_COUNT
} bv_kind;

/* Room for a part name or another short text in a struct. */
enum { BV_TEXT_SIZE = 48 };

typedef struct bv_field {
  const char *name;    /* full words, lower case, underscores */
  const char *unit;    /* SI, "" for a pure number or a text */
  const char *meaning; /* one line, no full stop */
  bv_kind kind;
  size_t offset;   /* of the value in its struct */
  double lo, hi;   /* inclusive range of a number; -INFINITY, INFINITY: none */
  double fallback; /* when left out; NAN: the field is required */
  const char *const *words; /* BV_WORD: NULL-terminated allowed words */
} bv_field;

/* The row of a number that a model gives: any value, NAN until it is known. */
#define BV_RESULT_FIELD(type, name, unit, meaning)                             \
  {                                                                            \
#name, unit, meaning, BV_NUMBER, offsetof(type, name), -HUGE_VAL,          \
        HUGE_VAL, (double) NAN, NULL                                           \
  }

typedef struct bv_fields {
  const bv_field *list;
  size_t count;
} bv_fields;

/* The field called name, or NULL. */
const bv_field *bv_field_find(bv_fields fields, const char *name);

/* The name in fields nearest to a mistyped one (edit distance, at most a third
 * of its length), or NULL: for "did you mean". */
const char *bv_field_nearest(bv_fields fields, const char *name);

/* The number a BV_NUMBER, BV_WHOLE, BV_WORD or BV_FLAG field holds in the
 * struct at base; NAN for a BV_TEXT field. */
double bv_field_number(const bv_field *field, const void *base);

/* Whether every number in the struct at base lies in the range of its field; a
 * NaN and a text do not. */
bool bv_field_all_in_range(bv_fields fields, const void *base);

/* The text of a BV_TEXT or BV_WORD field in the struct at base, else NULL. */
const char *bv_field_text(const bv_field *field, const void *base);

/* Stores a number in the struct at base, no range check. For BV_TEXT nothing
 * happens. */
void bv_field_set_number(const bv_field *field, void *base, double value);

/* Copies a text to a BV_TEXT field's place, cut at BV_TEXT_SIZE - 1. */
void bv_field_copy_text(char *target, const char *text);

/* Stores a text in a BV_TEXT field (cut as above) or the index of a
 * word in a BV_WORD field; false where the word isn't one of `words` or the
 * field holds neither. */
bool bv_field_set_text(const bv_field *field, void *base, const char *text);

/* Fills the struct at base with every field's fallback; required numbers get
 * NAN, texts "", words index 0. */
void bv_field_defaults(bv_fields fields, void *base);

#endif
