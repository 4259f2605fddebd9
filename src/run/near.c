/* SPDX-License-Identifier: MIT */
#include "run/near.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "search/thin.h"

/* What designs are measured against. */
typedef struct yard {
  const bv_problem *problem;
  const bv_candidate *front;
  size_t count;
  double extent[BV_OBJECTIVES_MOST];
} yard;

/* What the objectives of the front span; where they don't, their size. */
static void measure(yard *y) {
  for (size_t j = 0; j < y->problem->objectives; j++) {
    double lo = HUGE_VAL, hi = -HUGE_VAL;
    for (size_t i = 0; i < y->count; i++) {
      lo = fmin(lo, y->front[i].told->objectives[j]);
      hi = fmax(hi, y->front[i].told->objectives[j]);
    }
    y->extent[j] = hi > lo ? hi - lo : hi != 0 ? fabs(hi) : 1;
  }
}

/* Measures a point against one row of the front. An objective of the row can be
 * held against the point where all others are no worse. */
static void measure_against(const yard *y, const double *f, const double *row,
                            bv_near_point *point) {
  double lead = -HUGE_VAL;
  size_t worse = 0, which = 0;
  for (size_t j = 0; j < y->problem->objectives; j++) {
    lead = fmax(lead, (row[j] - f[j]) / y->extent[j]);
    if (row[j] > f[j]) {
      worse++;
      which = j;
    }
  }
  point->gain = fmin(point->gain, lead);
  if (worse == 1)
    point->best[which] = fmin(point->best[which], row[which]);
}

static bv_near_point point_of(const yard *y, const bv_search *search,
                              size_t limit, size_t i) {
  bv_point p = bv_search_beyond(search, limit, i);
  bv_near_point point = {
      .x = p.x, .limit = limit, .excess = p.violation, .gain = HUGE_VAL};
  for (size_t j = 0; j < y->problem->objectives; j++)
    point.best[j] = HUGE_VAL;
  for (size_t row = 0; row < y->count; row++)
    measure_against(y, p.objectives, y->front[row].told->objectives, &point);
  return point;
}

/* True where a gains as much as b for as little. */
static bool covers(const bv_near_point *a, const bv_near_point *b) {
  return a->gain >= b->gain && a->excess <= b->excess;
}

static int by_excess(const void *a, const void *b) {
  const bv_near_point *x = a, *y = b;
  if (x->excess != y->excess)
    return x->excess < y->excess ? -1 : 1;
  return (x->gain < y->gain) - (x->gain > y->gain);
}

/* Lists the points beyond one limit that are worth telling, by rising excess:
 * only an earlier one can gain as much for as little. */
static size_t list_limit(const yard *y, const bv_search *search, size_t limit,
                         bv_near_point *points) {
  size_t count = bv_search_beyond_count(search, limit), worthy = 0, kept = 0;
  for (size_t i = 0; i < count; i++) {
    points[worthy] = point_of(y, search, limit, i);
    worthy += points[worthy].gain >= BV_NEAR_GAIN_LEAST;
  }
  qsort(points, worthy, sizeof *points, by_excess);
  for (size_t i = 0; i < worthy; i++)
    if (kept == 0 || !covers(&points[kept - 1], &points[i]))
      points[kept++] = points[i];
  return kept;
}

/* Keeps as many as there are places, spread over excess and gain. */
static bool thin(bv_near_point *points, size_t *count, size_t places) {
  double *aims = calloc(2 * *count + 1, sizeof *aims);
  bool *stays = calloc(*count + 1, sizeof *stays);
  size_t kept = 0;
  if (aims && stays) {
    for (size_t i = 0; i < *count; i++) {
      aims[2 * i] = points[i].excess;
      aims[2 * i + 1] = -points[i].gain;
    }
    bv_thin_points(aims, *count, 2, places, stays);
    for (size_t i = 0; i < *count; i++)
      if (stays[i])
        points[kept++] = points[i];
    *count = kept;
  }
  bool thinned = aims && stays;
  free(aims);
  free(stays);
  return thinned;
}

/* Deals places out among limits, one each round, to those that have more. */
static void deal(const size_t *counts, size_t limits, size_t most,
                 size_t *places) {
  size_t dealt = 0, before;
  do {
    before = dealt;
    for (size_t i = 0; i < limits && dealt < most; i++)
      if (places[i] < counts[i]) {
        places[i]++;
        dealt++;
      }
  } while (dealt > before);
}

/* Closes the ranks of the limits' lists, each thinned to its places. */
static bool share_out(bv_near_point *points, const size_t *counts,
                      size_t limits, size_t most, size_t *chosen) {
  size_t places[BV_LIMITS_MOST] = {0}, from = 0;
  deal(counts, limits, most, places);
  for (size_t i = 0; i < limits; from += counts[i++]) {
    size_t count = counts[i];
    if (!thin(points + from, &count, places[i]))
      return false;
    memmove(points + *chosen, points + from, count * sizeof *points);
    *chosen += count;
  }
  return true;
}

bv_status bv_near_choose(const bv_problem *problem, const bv_search *search,
                         const bv_candidate *front, size_t count, size_t most,
                         bv_near_point **points, size_t *chosen,
                         bv_error *error) {
  yard y = {.problem = problem, .front = front, .count = count};
  size_t counts[BV_LIMITS_MOST] = {0}, held = 0, listed = 0;
  *chosen = 0;
  for (size_t i = 0; i < problem->limits; i++)
    held += bv_search_beyond_count(search, i);
  *points = calloc(held + 1, sizeof **points);
  if (!*points)
    return bv_fail(error, BV_INTERNAL, "out of memory for near designs");
  if (most == 0 || count == 0)
    return BV_OK;
  measure(&y);
  for (size_t i = 0; i < problem->limits; listed += counts[i++])
    counts[i] = list_limit(&y, search, i, *points + listed);
  if (share_out(*points, counts, problem->limits, most, chosen))
    return BV_OK;
  free(*points);
  *points = NULL;
  return bv_fail(error, BV_INTERNAL, "out of memory for near designs");
}
