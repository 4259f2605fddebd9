/* SPDX-License-Identifier: MIT */
/* Objectives as the search measures them: (f - ideal) / range, and the
 * reference up to which hypervolume counts as gained. */
#ifndef BV_SEARCH_YARDSTICK_H
#define BV_SEARCH_YARDSTICK_H

#include <math.h>
#include <stddef.h>

#include "base/number.h"
#include "search/problem.h"

typedef struct bv_yardstick {
  double ideal[BV_OBJECTIVES_MOST]; /* least values known */
  double range[BV_OBJECTIVES_MOST]; /* > 0 */
  double reference[BV_OBJECTIVES_MOST];
} bv_yardstick;

/* The yardstick of a front between its best and worst values. An objective in
 * which the front spans less than a fiftieth of what the first sample did is
 * measured by the sample: a front of a few points is no scale yet. */
bv_yardstick bv_yardstick_make(size_t objectives, const double *best,
                               const double *worst, const double *sampled_lo,
                               const double *sampled_hi);

/* The largest lead of objectives over known ones, in ranges. */
static inline double bv_lead_over(const double *known, const double *objectives,
                                  const double *range, size_t count) {
  double lead = -HUGE_VAL;
  for (size_t j = 0; j < count; j++)
    lead = bv_larger(lead, (known[j] - objectives[j]) / range[j]);
  return lead;
}

#endif
