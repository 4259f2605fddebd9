/* SPDX-License-Identifier: MIT */
/* How much of the space above a front some of its rows cover: counted in sample
 * points, always the same ones. */
#ifndef BV_VIEW_SAMPLES_H
#define BV_VIEW_SAMPLES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { BV_SAMPLES = 4096, BV_SAMPLE_WORDS = BV_SAMPLES / 64 };

/* Sample points as bits, for a row is held against all of them at once. */
typedef struct bv_samples {
  size_t objectives;
  double *sorted;   /* an objective: the samples' values, rising */
  uint64_t *beyond; /* an objective and a place there: samples from it on */
  uint64_t left[BV_SAMPLE_WORDS]; /* those that no chosen row covers yet */
} bv_samples;

/* Draws the points from 0 to 1.1 in each objective; without any objective there
 * are none. False: out of memory, still to be freed. */
bool bv_samples_make(size_t objectives, bv_samples *points);
void bv_samples_free(bv_samples *points);

/* How many of those that are left a row covers: it is nowhere larger. */
size_t bv_samples_covered(const bv_samples *points, const double *row);

/* Takes them away. */
void bv_samples_drop(bv_samples *points, const double *row);

#endif
