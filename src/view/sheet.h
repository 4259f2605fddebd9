/* SPDX-License-Identifier: MIT */
/* The design sheet: what is needed to wind, build and test one row of a front.
 * Every number is the row's own, or comes from its circuit through the models
 * of model/charge.h (the charts and the corners). */
#ifndef BV_VIEW_SHEET_H
#define BV_VIEW_SHEET_H

#include "view/row.h"

/* How a sheet is printed. */
typedef struct bv_sheet_options {
  bool html; /* a page that stands alone and prints on A4; else Markdown */
  const bv_front *steps; /* rows one step in one variable away from this one,
                            evaluated anew (run/steps.h); NULL: none */
} bv_sheet_options;

/* Appends the sheet of a row. Sections whose columns the front lacks are left
 * out and named at the end. BV_INTERNAL where memory ran out. */
bv_status bv_sheet_print(const bv_row *row, const bv_sheet_options *options,
                         bv_buffer *out, bv_error *error);

#endif
