/* SPDX-License-Identifier: MIT */
/* Fronts as tables for a terminal or another program. */
#ifndef BV_VIEW_TABLE_H
#define BV_VIEW_TABLE_H

#include "base/status.h"
#include "base/text.h"
#include "table/front.h"

typedef enum bv_table_format {
  BV_TABLE_TEXT,     /* aligned, numbers of three digits with SI prefixes */
  BV_TABLE_CSV,      /* as the front itself, all digits, SI units */
  BV_TABLE_JSON,     /* a list of objects, all digits, SI units; null: empty */
  BV_TABLE_MARKDOWN, /* a pipe table, numbers as in TEXT */
  BV_TABLE_FORMAT_COUNT
} bv_table_format;

/* NULL-terminated words of the formats. */
extern const char *const bv_table_format_words[];

/* Tells whether a row is kept; anything but BV_OK ends the table with the
 * error. */
typedef bv_status (*bv_row_filter)(void *context, const bv_front *front,
                                   size_t row, bool *kept, bv_error *error);

typedef struct bv_table_options {
  bv_table_format format;
  const char *const *columns; /* names, with or without unit; NULL: all */
  size_t column_count;
  const char *sort; /* name of a column; NULL: as the front has them */
  bool descending;
  size_t best; /* rows shown, chosen by bv_pick_best; 0: all */
  bv_row_filter keep;
  void *keep_context;
  size_t width; /* columns of the terminal, for TEXT; 0: no limit */
} bv_table_options;

/* Appends the rows that `keep` keeps, of them the best, sorted (empty cells
 * last, equal rows as the front has them). TEXT shows all columns in the order
 * id, what is near (see bv_front_is_near), objectives, variables, results with
 * a limit, other results; where they don't fit the width, the last in this
 * order are left out and named below the table. It marks knees of a front's
 * kept rows (bv_pick_knees) by `*`. Plain text, no colours, control characters
 * shown as '?'. BV_USAGE: a column that the front doesn't have (nearest name
 * told); BV_INTERNAL: out of memory. */
bv_status bv_view_table(const bv_front *front, const bv_table_options *options,
                        bv_buffer *out, bv_error *error);

#endif
