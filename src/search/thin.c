/* SPDX-License-Identifier: MIT */
#include "search/thin.h"

#include <math.h>
#include <stdlib.h>

#include "base/number.h"
#include "search/memory.h"

typedef struct thinning {
  size_t count, objectives, left; /* left: points that may still be chosen */
  double *scaled; /* a point: objectives, 0 at its best, 1 at its worst value */
  double *lead;   /* over those chosen; -1: chosen itself */
  bool *keep;
} thinning;

static double scaled(const thinning *t, size_t i, size_t j) {
  return t->scaled[i * t->objectives + j];
}

static void scale(thinning *t, const double *points) {
  for (size_t j = 0; j < t->objectives; j++) {
    double lo = HUGE_VAL, hi = -HUGE_VAL;
    for (size_t i = 0; i < t->count; i++) {
      lo = bv_smaller(lo, points[i * t->objectives + j]);
      hi = bv_larger(hi, points[i * t->objectives + j]);
    }
    double extent = hi > lo ? hi - lo : 1;
    for (size_t i = j; i < t->count * t->objectives; i += t->objectives)
      t->scaled[i] = (points[i] - lo) / extent;
  }
}

static void choose(thinning *t, size_t chosen) {
  if (t->left == 0 || t->keep[chosen])
    return;
  t->left--;
  t->keep[chosen] = true;
  for (size_t i = 0; i < t->count; i++) {
    double lead = -HUGE_VAL;
    for (size_t j = 0; j < t->objectives; j++)
      lead = bv_larger(lead, scaled(t, chosen, j) - scaled(t, i, j));
    t->lead[i] = t->keep[i] ? -1 : bv_smaller(t->lead[i], lead);
  }
}

/* The point with the least of a measure. */
static size_t least(const thinning *t,
                    double (*of)(const thinning *, size_t, size_t),
                    size_t objective) {
  size_t best = 0;
  for (size_t i = 1; i < t->count; i++)
    if (of(t, i, objective) < of(t, best, objective))
      best = i;
  return best;
}

/* The plane through the ends of a convex front is where scaled objectives add
 * up to a constant; the knee has the least sum. */
static double sum(const thinning *t, size_t i, size_t unused) {
  double total = 0;
  (void) unused;
  for (size_t j = 0; j < t->objectives; j++)
    total += scaled(t, i, j);
  return total;
}

static double least_lead(const thinning *t, size_t i, size_t unused) {
  (void) unused;
  return -t->lead[i];
}

void bv_thin_points(const double *points, size_t count, size_t objectives,
                    size_t most, bool *keep) {
  thinning t = {.count = count,
                .objectives = objectives,
                .left = most < count ? most : count,
                .scaled = bv_reserve(count * objectives, sizeof *t.scaled),
                .lead = bv_reserve(count, sizeof *t.lead),
                .keep = keep};
  scale(&t, points);
  for (size_t i = 0; i < count; i++) {
    t.lead[i] = HUGE_VAL;
    keep[i] = most >= count;
  }
  for (size_t j = 0; j < objectives && most < count; j++)
    choose(&t, least(&t, scaled, j));
  if (most < count)
    choose(&t, least(&t, sum, 0));
  while (most < count && t.left > 0)
    choose(&t, least(&t, least_lead, 0));
  free(t.scaled);
  free(t.lead);
}
