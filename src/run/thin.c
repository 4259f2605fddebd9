/* SPDX-License-Identifier: MIT */
#include "run/thin.h"

#include <math.h>
#include <stdlib.h>

typedef struct thinning {
  size_t objectives, count;
  const bv_candidate *rows;
  double scale[BV_OBJECTIVES_MOST]; /* one over each objective's range */
  double *apart; /* squared distance to the nearest kept row; -1: kept */
} thinning;

static double objective(const thinning *t, size_t row, size_t i) {
  return t->rows[row].told->objectives[i];
}

static size_t best_in(const thinning *t, size_t i) {
  size_t best = 0;
  for (size_t row = 1; row < t->count; row++)
    if (objective(t, row, i) < objective(t, best, i))
      best = row;
  return best;
}

static void measure(thinning *t) {
  for (size_t i = 0; i < t->objectives; i++) {
    double lo = HUGE_VAL, hi = -HUGE_VAL;
    for (size_t row = 0; row < t->count; row++) {
      lo = fmin(lo, objective(t, row, i));
      hi = fmax(hi, objective(t, row, i));
    }
    t->scale[i] = hi > lo ? 1 / (hi - lo) : 0;
  }
  for (size_t row = 0; row < t->count; row++)
    t->apart[row] = HUGE_VAL;
}

static double distance(const thinning *t, size_t a, size_t b) {
  double sum = 0;
  for (size_t i = 0; i < t->objectives; i++) {
    double d = (objective(t, a, i) - objective(t, b, i)) * t->scale[i];
    sum += d * d;
  }
  return sum;
}

static size_t keep(thinning *t, size_t kept) {
  if (t->apart[kept] < 0)
    return 0;
  for (size_t row = 0; row < t->count; row++)
    if (t->apart[row] >= 0)
      t->apart[row] = fmin(t->apart[row], distance(t, row, kept));
  t->apart[kept] = -1;
  return 1;
}

static size_t farthest(const thinning *t) {
  size_t best = 0;
  for (size_t row = 1; row < t->count; row++)
    if (t->apart[row] > t->apart[best])
      best = row;
  return best;
}

size_t bv_thin(size_t objectives, bv_candidate *rows, size_t count,
               size_t most) {
  if (most == 0 || count <= most)
    return count;
  thinning t = {.objectives = objectives, .count = count, .rows = rows};
  t.apart = calloc(count, sizeof *t.apart);
  if (!t.apart)
    return count;
  measure(&t);
  size_t kept = 0, out = 0;
  for (size_t i = 0; i < objectives && kept < most; i++)
    kept += keep(&t, best_in(&t, i));
  while (kept < most)
    kept += keep(&t, farthest(&t));
  for (size_t row = 0; row < count; row++)
    if (t.apart[row] < 0)
      rows[out++] = rows[row];
  free(t.apart);
  return out;
}
