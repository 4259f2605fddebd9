/* SPDX-License-Identifier: MIT */
/* Rows of a front side by side. */
#ifndef BV_VIEW_COMPARE_H
#define BV_VIEW_COMPARE_H

#include "view/pick.h"

/* Appends one line a quantity with a column a row: first the objectives that
 * differ, then what else differs by falling spread (largest less smallest value
 * over the largest magnitude, shown in per cent; texts first). Rows that don't
 * fit the terminal's width (0: no limit) follow in further blocks, an empty
 * line between. At the end, what is the same in all, once. Each line has a unit
 * of its own. BV_INTERNAL: out of memory. */
bv_status bv_view_compare(const bv_front *front, bv_picked rows, size_t width,
                          bv_buffer *out, bv_error *error);

#endif
