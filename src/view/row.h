/* SPDX-License-Identifier: MIT */
/* One row of a front, read by the names of results: what a sheet and waveforms
 * are made from. */
#ifndef BV_VIEW_ROW_H
#define BV_VIEW_ROW_H

#include "base/status.h"
#include "model/circuit.h"
#include "table/front.h"

typedef struct bv_row {
  const bv_front *front;
  size_t index;
} bv_row;

/* The row with an id as bv_front_id gives it ("17"). BV_USAGE where there is
 * none; the error tells which there are. */
bv_status bv_row_find(const bv_front *front, const char *id, bv_row *row,
                      bv_error *error);

/* The column of a result, or NULL. Where a variable has the name of a result
 * but another value, the front holds the result as evaluated_NAME, and that
 * is meant. */
const bv_column *bv_row_column(const bv_row *row, const char *name);

/* The number of a result in its SI unit, whatever prefix its column has; NAN
 * where the front lacks it or holds a text. */
double bv_row_number(const bv_row *row, const char *name);

/* The SI unit of a result, "" where it has none. */
const char *bv_row_unit(const bv_row *row, const char *name);

/* The text of a result, NULL where the front lacks it or holds a number. */
const char *bv_row_text(const bv_row *row, const char *name);

/* What the column `verification` holds where a row's results are of several
 * corners (model/verify.h): no one circuit has them all. */
#define BV_ROW_MIXED "not simulated: of several corners"

/* Whether the row is such a one. */
bool bv_row_is_mixed(const bv_row *row);

/* The circuit a row describes, number for number the one its design was
 * evaluated with. Where a column is missing or empty, the quantity has its
 * default (a loss: zero) and the column's name is appended to left_out (a list
 * with commas; NULL is allowed). BV_BAD_DATA where a required quantity is
 * missing or one is out of its range: the error lists the columns. */
bv_status bv_row_circuit(const bv_row *row, bv_circuit *circuit,
                         bv_buffer *left_out, bv_error *error);

#endif
