/* SPDX-License-Identifier: MIT */
/* Every table of fields that scripts meet, as documentation shows them. */
#ifndef BV_SCRIPT_TABLES_H
#define BV_SCRIPT_TABLES_H

#include <stdbool.h>

#include "base/field.h"
#include "base/text.h"

typedef struct bv_table {
  const bv_fields *fields;
  const char *class; /* of definitions: "design" for brimvolt.design */
  const char *place; /* "result of charger.design" */
  bool is_input;     /* read from scripts: range and default matter */
  bool is_object;    /* an object, or a part: every field is there */
} bv_table;

/* The i-th table, or NULL after the last. */
const bv_table *bv_table_at(unsigned i);

/* What a table of Lua may hold besides the fields. */
typedef struct bv_extra {
  const char *class, *name, *type; /* class as in bv_table */
  const char *unit, *meaning;
  bool is_required;
} bv_extra;

/* The i-th extra entry, or NULL after the last. */
const bv_extra *bv_extra_at(unsigned i);

/* Appends ", from 1 to 5", ", one of a, b" or nothing. */
void bv_table_print_range(bv_buffer *text, const bv_field *field);

/* Appends ", required", ", default 5" or nothing. */
void bv_table_print_default(bv_buffer *text, const bv_field *field);

#endif
