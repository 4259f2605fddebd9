/* SPDX-License-Identifier: MIT */
/* A column of a front as it is shown: one unit and one number of decimals for
 * all its cells. */
#ifndef BV_VIEW_COLUMN_H
#define BV_VIEW_COLUMN_H

#include "base/status.h"
#include "base/text.h"
#include "table/front.h"
#include "view/number.h"
#include "view/pick.h"

typedef struct bv_shown_column {
  size_t column;      /* of the front */
  bv_shown_unit unit; /* all cells share it */
  double factor;      /* from the front's unit to the SI unit */
  int decimals;       /* all cells share them; -1: three digits each */
} bv_shown_column;

/* Looks at the cells of these rows and settles how they are shown: the unit
 * suits the largest, the decimals give the smallest three digits; cells a
 * thousand times apart, or too small or too large for any unit, have three
 * digits each. */
bv_shown_column bv_column_look(const bv_front *front, size_t column,
                               bv_picked picked);

/* Appends the cell of a row: number without its unit, or text with control
 * characters replaced by '?'; "-" where it is empty. */
void bv_column_append_cell(const bv_front *front, const bv_shown_column *shown,
                           size_t row, bv_buffer *out);

/* Finds a column by name; BV_USAGE with the nearest name where there is none.
 */
bv_status bv_column_find(const bv_front *front, const char *name,
                         size_t *column, bv_error *error);

#endif
