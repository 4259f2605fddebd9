/* SPDX-License-Identifier: MIT */
/* Near designs: those that a small change of one limit would admit and that
 * lead the front then. */
#ifndef BV_RUN_NEAR_H
#define BV_RUN_NEAR_H

#include "run/build.h"
#include "search/search.h"

/* The least gain that makes a design worth telling, in extents of the front. */
#define BV_NEAR_GAIN_LEAST 0.005

/* A design beyond one limit, measured against all of the front. */
typedef struct bv_near_point {
  const double *x; /* the search's */
  size_t limit;    /* of the problem */
  double excess;   /* scaled violation of it, 0 … BV_BEYOND_REACH */
  double gain;     /* how far every objective of each row of the front would
                      have to be better before one is as good, in extents */
  double best[BV_OBJECTIVES_MOST]; /* of each objective: the front's best where
                                      the others are no worse than here;
                                      INFINITY: no row is that good in them */
} bv_near_point;

/* Chooses at most `most` of what the search holds beyond its limits: of each
 * limit those of which no other gains as much for as little. Limits share the
 * places evenly. The order is by limit, then by rising excess. *points is a new
 * array. BV_INTERNAL: out of memory. */
bv_status bv_near_choose(const bv_problem *problem, const bv_search *search,
                         const bv_candidate *front, size_t count, size_t most,
                         bv_near_point **points, size_t *chosen,
                         bv_error *error);

/* Makes the table of near designs: the columns of a front and, behind `row`,
 * those that tell limit, change and gain (BV_NEAR_PREFIX of front.h). rows[i]
 * is points[i] told. BV_INTERNAL. */
bv_status bv_near_build(const bv_study *study, const bv_near_point *points,
                        const bv_candidate *rows, size_t count, bv_front *near,
                        bv_error *error);

#endif
