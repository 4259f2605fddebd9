/* SPDX-License-Identifier: MIT */
#include "search/hypervolume.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "search/memory.h"
#include "search/problem.h"
#include "search/staircase.h"

/* A set under way: rows of m numbers. */
typedef struct point_set {
  double *rows;
  size_t count, objectives;
} point_set;

static double *row(const point_set *set, size_t i) {
  return set->rows + i * set->objectives;
}

static int compare_numbers(double a, double b) {
  return (a > b) - (a < b);
}

/* Orders rows by a rising objective; qsort_r hands the objectives' count. */
static int by_last(const void *a, const void *b, void *objectives) {
  size_t last = *(const size_t *) objectives - 1;
  return compare_numbers(((const double *) a)[last],
                         ((const double *) b)[last]);
}

static void sort_by_last(const point_set *set) {
  size_t objectives = set->objectives;
  qsort_r(set->rows, set->count, objectives * sizeof *set->rows, by_last,
          &objectives);
}

static double best_single(const point_set *set, const double *reference) {
  double best = reference[0];
  for (size_t i = 0; i < set->count; i++)
    best = fmin(best, *row(set, i));
  return reference[0] - best;
}

/* Adds the points to a staircase in rising order of the third objective; the
 * area under way times the step to the next point adds up. With two objectives
 * there is a single step of height 1. */
static double sweep(const point_set *set, const double *reference) {
  bool flat = set->objectives == 2;
  bv_staircase staircase = {0};
  size_t *removed = bv_allocate(set->count, sizeof *removed), count;
  double area = 0, volume = 0;
  for (size_t i = 0; i < set->count; i++) {
    const double *p = row(set, i);
    bv_stair stair = {.first = p[0], .second = p[1]};
    double gain =
        bv_staircase_insert(&staircase, stair, reference, removed, &count);
    area += fmax(gain, 0);
    if (!flat) {
      double next = i + 1 < set->count ? row(set, i + 1)[2] : reference[2];
      volume += area * (next - p[2]);
    }
  }
  bv_staircase_free(&staircase);
  free(removed);
  return flat ? area : volume;
}

static bool covers(const double *a, const double *b, size_t objectives) {
  for (size_t j = 0; j < objectives; j++)
    if (a[j] > b[j])
      return false;
  return true;
}

/* The points of `set` from `from` on, each raised to be no better than p, those
 * covered by another left out. */
static point_set limited(const point_set *set, size_t from, const double *p) {
  size_t m = set->objectives;
  point_set out = {.rows =
                       bv_allocate((set->count - from) * m, sizeof *out.rows),
                   .objectives = m};
  for (size_t i = from; i < set->count; i++) {
    double *raised = row(&out, out.count);
    for (size_t j = 0; j < m; j++)
      raised[j] = fmax(row(set, i)[j], p[j]);
    size_t kept = 0;
    bool useless = false;
    for (size_t k = 0; k < out.count && !useless; k++)
      useless = covers(row(&out, k), raised, m);
    if (useless)
      continue;
    for (size_t k = 0; k < out.count; k++)
      if (!covers(raised, row(&out, k), m))
        memmove(row(&out, kept++), row(&out, k), m * sizeof *raised);
    memmove(row(&out, kept), raised, m * sizeof *raised);
    out.count = kept + 1;
  }
  return out;
}

static double volume(point_set *set, const double *reference);

/* Drops the last objective, equal for all, and measures what is left. */
static double volume_of_slice(const point_set *set, const double *reference) {
  size_t m = set->objectives - 1;
  point_set slice = {.rows = bv_allocate(set->count * m, sizeof *slice.rows),
                     .count = set->count,
                     .objectives = m};
  for (size_t i = 0; i < set->count; i++)
    memcpy(row(&slice, i), row(set, i), m * sizeof *slice.rows);
  double result = volume(&slice, reference);
  free(slice.rows);
  return result;
}

/* Points are taken from the worst in the last objective to the best, so all
 * that follow are, once limited by p, equal to p in it: one objective less. */
static double sum_exclusive(const point_set *set, const double *reference) {
  size_t m = set->objectives;
  double sum = 0;
  for (size_t i = set->count; i-- > 0;) {
    const double *p = row(set, i);
    point_set better = {.rows = set->rows, .count = i, .objectives = m};
    double depth = reference[m - 1] - p[m - 1], flat = 1;
    for (size_t j = 0; j + 1 < m; j++)
      flat *= reference[j] - p[j];
    point_set rest = limited(&better, 0, p);
    sum += depth * (flat - volume_of_slice(&rest, reference));
    free(rest.rows);
  }
  return sum;
}

static double volume(point_set *set, const double *reference) {
  if (set->count == 0)
    return 0;
  if (set->objectives == 1)
    return best_single(set, reference);
  sort_by_last(set);
  return set->objectives <= 3 ? sweep(set, reference)
                              : sum_exclusive(set, reference);
}

/* The points that are better than the reference in every objective. */
static point_set take_inside(const double *points, size_t count,
                             size_t objectives, const double *reference) {
  point_set set = {.rows = bv_allocate(count * objectives, sizeof *set.rows),
                   .objectives = objectives};
  for (size_t i = 0; i < count; i++) {
    const double *p = points + i * objectives;
    bool inside = true;
    for (size_t j = 0; j < objectives; j++)
      inside = inside && p[j] < reference[j];
    if (inside)
      memcpy(row(&set, set.count++), p, objectives * sizeof *p);
  }
  return set;
}

double bv_hypervolume(const double *points, size_t count, size_t objectives,
                      const double *reference) {
  point_set set = take_inside(points, count, objectives, reference);
  double result = volume(&set, reference);
  free(set.rows);
  return result;
}

enum { SAMPLES = 10000, EXACT_OF_FOUR = 500, EXACT_OF_MORE = 150 };

static bool is_quick(size_t count, size_t objectives) {
  return objectives <= 3 ||
         count <= (size_t) (objectives == 4 ? EXACT_OF_FOUR : EXACT_OF_MORE);
}

/* Whether any point covers a place. The one that does moves half its way to the
 * front: most places are covered by the few points that are good at all. */
static bool is_covered(const point_set *set, const double *place) {
  size_t m = set->objectives, i = 0;
  double kept[BV_OBJECTIVES_MOST];
  while (i < set->count && !covers(row(set, i), place, m))
    i++;
  if (i == set->count)
    return false;
  memcpy(kept, row(set, i), m * sizeof *kept);
  memmove(row(set, i), row(set, i / 2), m * sizeof *kept);
  memcpy(row(set, i / 2), kept, m * sizeof *kept);
  return true;
}

static double estimate(const point_set *set, const double *reference) {
  double best[BV_OBJECTIVES_MOST], place[BV_OBJECTIVES_MOST], box = 1;
  size_t m = set->objectives, covered = 0;
  bv_random random = bv_random_keyed(0, 0, 0);
  for (size_t j = 0; j < m; j++) {
    best[j] = reference[j];
    for (size_t i = 0; i < set->count; i++)
      best[j] = fmin(best[j], row(set, i)[j]);
    box *= reference[j] - best[j];
  }
  for (int i = 0; i < SAMPLES; i++) {
    for (size_t j = 0; j < m; j++)
      place[j] = best[j] + bv_random_unit(&random) * (reference[j] - best[j]);
    covered += is_covered(set, place);
  }
  return box * (double) covered / SAMPLES;
}

bv_volume bv_hypervolume_told(const double *points, size_t count,
                              size_t objectives, const double *reference) {
  point_set set = take_inside(points, count, objectives, reference);
  bool quick = is_quick(set.count, objectives);
  double value = quick ? volume(&set, reference) : estimate(&set, reference);
  free(set.rows);
  return (bv_volume){value, !quick};
}

/* The reference stands this much of the front's extent beyond its worst. */
#define MARGIN 0.1

void bv_hypervolume_reference(const double *best, const double *worst,
                              size_t objectives, double *reference) {
  for (size_t j = 0; j < objectives; j++) {
    double extent = worst[j] - best[j];
    reference[j] = worst[j] + MARGIN * (extent > 0 ? extent : 1);
  }
}
