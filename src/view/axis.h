/* SPDX-License-Identifier: MIT */
/* Axes of charts: round numbers along a range, in a unit with a prefix. */
#ifndef BV_VIEW_AXIS_H
#define BV_VIEW_AXIS_H

#include <stdbool.h>
#include <stddef.h>

#include "view/number.h"

/* Most ticks of an axis. */
enum { BV_TICKS_MOST = 32 };

typedef struct bv_axis {
  bool log;                 /* lo > 0 then */
  double lo, hi;            /* ends, lo < hi, SI */
  bv_shown_unit unit;       /* in which ticks are labelled */
  size_t count;             /* of ticks, in rising order */
  double at[BV_TICKS_MOST]; /* SI, in [lo, hi] */
  int decimals;             /* of linear labels */
} bv_axis;

typedef struct bv_axis_wish {
  const char *si; /* SI unit */
  bool log;       /* falls back to linear where lo <= 0 */
  bool zero;      /* the range takes in zero (linear) */
  bool tight;     /* ends at lo and hi, not at the next ticks */
  size_t ticks;   /* about so many, 2 … 16 */
} bv_axis_wish;

/* Fits an axis around the range lo … hi (an empty one is widened; one that
 * isn't finite becomes 0 … 1). Linear steps are 1, 2 or 5 times a power of ten;
 * logarithmic ticks are such numbers, or powers of ten over more than two
 * decades or where the others would crowd. */
bv_axis bv_axis_fit(double lo, double hi, const bv_axis_wish *wish);

/* Where a value lies: 0 at lo, 1 at hi. */
double bv_axis_place(const bv_axis *axis, double value);

/* Writes the label of a tick's value, without unit; text has BV_NUMBER_SIZE
 * bytes. Returns text. */
char *bv_axis_label(char *text, const bv_axis *axis, double value);

#endif
