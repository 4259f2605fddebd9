/* SPDX-License-Identifier: MIT */
/* A front as a picture: one column against another. */
#ifndef BV_VIEW_PLOT_H
#define BV_VIEW_PLOT_H

#include "base/status.h"
#include "base/text.h"
#include "table/front.h"

typedef struct bv_plot_options {
  const char *x, *y; /* columns of numbers; NULL: the first two objectives */
  const char *by;    /* column that groups the rows; NULL: the third objective,
                        or none */
} bv_plot_options;

/* Appends the plot as an SVG file. An axis is logarithmic where its numbers lie
 * more than a factor of 20 apart. Numbers of `by` make up to three groups of as
 * many rows, texts up to three of a text and one of the others; knees (pick.h)
 * have a mark of their own. BV_USAGE: an unknown column (nearest told), a text
 * for an axis, no objectives to go by. BV_INTERNAL: out of memory. */
bv_status bv_plot_draw(const bv_front *front, const bv_plot_options *options,
                       bv_buffer *out, bv_error *error);

#endif
