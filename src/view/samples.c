/* SPDX-License-Identifier: MIT */
#include "view/samples.h"

#include <stdlib.h>
#include <string.h>

#include "base/random.h"

typedef struct drawn {
  size_t sample;
  double value;
} drawn;

static int by_value(const void *a, const void *b) {
  double x = ((const drawn *) a)->value, y = ((const drawn *) b)->value;
  return (x > y) - (x < y);
}

static uint64_t *beyond(const bv_samples *points, size_t objective,
                        size_t place) {
  return points->beyond +
         (objective * (BV_SAMPLES + 1) + place) * BV_SAMPLE_WORDS;
}

/* Fills in an objective, from the largest value to the least. */
static void sort_samples(bv_samples *points, size_t objective, drawn *values) {
  qsort(values, BV_SAMPLES, sizeof *values, by_value);
  for (size_t place = BV_SAMPLES; place-- > 0;) {
    uint64_t *set = beyond(points, objective, place);
    const uint64_t *next = beyond(points, objective, place + 1);
    points->sorted[objective * BV_SAMPLES + place] = values[place].value;
    memcpy(set, next, BV_SAMPLE_WORDS * sizeof *set);
    set[values[place].sample / 64] |= UINT64_C(1) << values[place].sample % 64;
  }
}

bool bv_samples_make(size_t objectives, bv_samples *points) {
  size_t sets = objectives * (BV_SAMPLES + 1);
  *points = (bv_samples){.objectives = objectives};
  points->sorted = calloc(objectives * BV_SAMPLES + 1, sizeof(double));
  points->beyond = calloc(sets * BV_SAMPLE_WORDS + 1, sizeof(uint64_t));
  drawn *values = calloc(objectives * BV_SAMPLES + 1, sizeof *values);
  bool made = points->sorted && points->beyond && values;
  bv_random random = bv_random_keyed(1, 0, 0);
  for (size_t i = 0; made && i < BV_SAMPLES * objectives; i++)
    values[i % objectives * BV_SAMPLES + i / objectives] =
        (drawn){i / objectives, 1.1 * bv_random_unit(&random)};
  for (size_t j = 0; made && j < objectives; j++)
    sort_samples(points, j, values + j * BV_SAMPLES);
  if (objectives > 0)
    memset(points->left, 0xff, sizeof points->left);
  free(values);
  return made;
}

void bv_samples_free(bv_samples *points) {
  free(points->sorted);
  free(points->beyond);
}

/* Gives the samples that a row covers: nowhere less than it. */
static void find_covered(const bv_samples *points, const double *row,
                         uint64_t *covered) {
  memcpy(covered, points->left, sizeof points->left);
  for (size_t j = 0; j < points->objectives; j++) {
    const double *sorted = points->sorted + j * BV_SAMPLES;
    size_t lo = 0, hi = BV_SAMPLES;
    while (lo < hi) {
      size_t middle = (lo + hi) / 2;
      if (sorted[middle] < row[j])
        lo = middle + 1;
      else
        hi = middle;
    }
    const uint64_t *set = beyond(points, j, lo);
    for (size_t k = 0; k < BV_SAMPLE_WORDS; k++)
      covered[k] &= set[k];
  }
}

size_t bv_samples_covered(const bv_samples *points, const double *row) {
  uint64_t covered[BV_SAMPLE_WORDS];
  size_t count = 0;
  find_covered(points, row, covered);
  for (size_t k = 0; k < BV_SAMPLE_WORDS; k++)
    count += (size_t) __builtin_popcountll(covered[k]);
  return count;
}

void bv_samples_drop(bv_samples *points, const double *row) {
  uint64_t covered[BV_SAMPLE_WORDS];
  find_covered(points, row, covered);
  for (size_t k = 0; k < BV_SAMPLE_WORDS; k++)
    points->left[k] &= ~covered[k];
}
