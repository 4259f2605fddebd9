/* SPDX-License-Identifier: MIT */
/* The design sheet: what is needed to wind, build and test one row of a front.
 * Every number is the row's own, or comes from its circuit through the models
 * of model/charge.h (the charts and the corners). */
#ifndef BV_VIEW_SHEET_H
#define BV_VIEW_SHEET_H

#include "view/row.h"

/* Appends the sheet of a row as Markdown or, html, as a page that stands alone
 * and prints on two or three pages of A4. Sections whose columns the front
 * lacks are left out and named at the end. BV_INTERNAL where memory ran out. */
bv_status bv_sheet_print(const bv_row *row, bool html, bv_buffer *out,
                         bv_error *error);

#endif
