/* SPDX-License-Identifier: MIT */
/* Layouts: the columns that fronts of one study have in common, without those
 * that tell which row it is. Private to merge. */
#ifndef BV_RUN_LAYOUT_H
#define BV_RUN_LAYOUT_H

#include <stdbool.h>

#include "table/front.h"

typedef struct bv_layout {
  size_t count;
  bv_column *columns; /* owned, texts too */
} bv_layout;

/* The columns of a front but `row`, `case` and `case_row`; places[i] (room for
 * front->columns) is where the i-th of them stands in the front. False: out of
 * memory, nothing is left behind. */
bool bv_layout_of(const bv_front *front, bv_layout *layout, size_t *places);
void bv_layout_free(bv_layout *layout);

/* Less than, equal to or greater than 0: an order among layouts in which those
 * with more columns come first. */
int bv_layout_compare(const bv_layout *a, const bv_layout *b);

/* The column of that name and unit, or layout->count. */
size_t bv_layout_find(const bv_layout *layout, const bv_column *column);

/* Appends the columns of `more` that layout lacks. False: out of memory. */
bool bv_layout_join(bv_layout *layout, const bv_layout *more);

/* Copies a column and its texts; false: out of memory. */
bool bv_column_copy(const bv_column *column, bv_column *copy);

#endif
