/* SPDX-License-Identifier: MIT */
#include "search/thin.h"

#include <math.h>
#include <stdlib.h>

#include "search/memory.h"

typedef struct thinning {
  const double *points;
  size_t count, objectives, left; /* left: points that may still be chosen */
  double lo[BV_THIN_MOST], extent[BV_THIN_MOST];
  double *lead; /* over those chosen; -1: chosen itself */
  bool *keep;
} thinning;

/* An objective of a point, 0 at its best and 1 at its worst value. */
static double scaled(const thinning *t, size_t i, size_t j) {
  return (t->points[i * t->objectives + j] - t->lo[j]) / t->extent[j];
}

static void measure(thinning *t) {
  for (size_t j = 0; j < t->objectives; j++) {
    double hi = -HUGE_VAL;
    t->lo[j] = HUGE_VAL;
    for (size_t i = 0; i < t->count; i++) {
      double f = t->points[i * t->objectives + j];
      t->lo[j] = fmin(t->lo[j], f);
      hi = fmax(hi, f);
    }
    t->extent[j] = hi > t->lo[j] ? hi - t->lo[j] : 1;
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
      lead = fmax(lead, scaled(t, chosen, j) - scaled(t, i, j));
    t->lead[i] = t->keep[i] ? -1 : fmin(t->lead[i], lead);
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
  thinning t = {.points = points,
                .count = count,
                .objectives = objectives,
                .left = most < count ? most : count,
                .lead = bv_allocate(count, sizeof *t.lead),
                .keep = keep};
  measure(&t);
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
  free(t.lead);
}
