/* SPDX-License-Identifier: MIT */
/* Points just beyond one limit: what a small change of it would admit. A memory
 * beside the archive that the search itself never looks at. */
#ifndef BV_SEARCH_BEYOND_H
#define BV_SEARCH_BEYOND_H

#include "search/archive.h"

/* The most by which a limit may be missed, scaled as the problem has it. */
#define BV_BEYOND_REACH 0.05

/* Points held of each limit, and down to how many they are thinned then. */
enum { BV_BEYOND_ROOM = 96, BV_BEYOND_KEPT = 48 };

typedef struct bv_beyond {
  const bv_problem *problem;
  size_t *count; /* a limit: points held */
  double *rows;  /* a limit: BV_BEYOND_ROOM of objectives, excess, x */
} bv_beyond;

void bv_beyond_init(bv_beyond *beyond, const bv_problem *problem);
void bv_beyond_free(bv_beyond *beyond);

/* Offers a point that misses a limit. It is held where it misses that limit
 * alone, within reach, where the front doesn't cover it (nothing there is
 * nowhere worse), nor does another point held of the same limit that misses it
 * by no more. What is full is thinned: points that the front covers by now go,
 * the others are chosen by bv_thin_points of objectives and excess. */
void bv_beyond_offer(bv_beyond *beyond, const double *x,
                     const double *objectives, const double *limits,
                     const bv_archive *front, const bv_yardstick *yardstick);

/* The parts of a point held: i < count[limit]. */
const double *bv_beyond_objectives(const bv_beyond *beyond, size_t limit,
                                   size_t i);
double bv_beyond_excess(const bv_beyond *beyond, size_t limit, size_t i);
const double *bv_beyond_x(const bv_beyond *beyond, size_t limit, size_t i);

#endif
