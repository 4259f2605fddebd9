/* SPDX-License-Identifier: MIT */
/* How far a point is ahead of known ones: of the nearest of them, min over them
 * of max_j (known_j - point_j) / scale_j. 0 or less where one is at least as
 * good in every objective: then only the sign is meant. */
#ifndef BV_SEARCH_AHEAD_H
#define BV_SEARCH_AHEAD_H

#include "search/yardstick.h"

typedef struct bv_ahead {
  const double *point, *scale;
  size_t objectives;
  double lead;                       /* over those met so far */
  double stop;                       /* a lead below is of no interest */
  double enough[BV_OBJECTIVES_MOST]; /* what lies beyond can't lower it */
} bv_ahead;

/* How much farther off, so that rounding doesn't matter. */
#define BV_AHEAD_SLACK (1 + 1e-12)

/* Lowers the lead to a smaller one. */
static inline void bv_ahead_lower(bv_ahead *a, double lead) {
  a->lead = lead;
  for (size_t j = 0; j < a->objectives; j++)
    a->enough[j] = lead * a->scale[j] * BV_AHEAD_SLACK;
}

/* Begins with a lead that is known to be no less than what is looked for, such
 * as INFINITY. Valid as long as the arrays. */
static inline bv_ahead bv_ahead_begin(const double *point, const double *scale,
                                      size_t objectives, double lead) {
  bv_ahead a = {.point = point, .scale = scale, .objectives = objectives};
  bv_ahead_lower(&a, lead);
  return a;
}

/* True where a known point, or all points of a box from there on, can't lower
 * the lead. */
static inline bool bv_ahead_is_beyond(const bv_ahead *a, const double *known) {
  bool is = false; /* one branch, which is foretold more often than many */
  for (size_t j = 0; j < a->objectives; j++)
    is |= known[j] - a->point[j] > a->enough[j];
  return is;
}

/* Takes a known point into account. */
static inline void bv_ahead_meet(bv_ahead *a, const double *known) {
  if (bv_ahead_is_beyond(a, known))
    return;
  double lead = bv_lead_over(known, a->point, a->scale, a->objectives);
  if (lead < a->lead)
    bv_ahead_lower(a, lead);
}

#endif
