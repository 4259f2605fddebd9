/* SPDX-License-Identifier: MIT */
/* Which rows of a front to look at first: knees, and a few rows that stand for
 * all. Objectives are the columns of role MINIMISE and MAXIMISE, scaled to 0
 * (best of the rows given) … 1 (worst). Rows with an objective that isn't a
 * finite number are passed over. */
#ifndef BV_VIEW_PICK_H
#define BV_VIEW_PICK_H

#include "base/status.h"
#include "table/front.h"

/* Rows of a front: their numbers from 0. */
typedef struct bv_picked {
  const size_t *rows;
  size_t count;
} bv_picked;

/* The height of each row above the hyperplane through the best rows of each
 * objective, on the side of the ideal point (NAN: a row passed over, fewer than
 * two objectives): the measure by which I. Das finds knees ("On characterizing
 * the 'knee' of the Pareto curve based on normal-boundary intersection",
 * Structural Optimization 18, 1999). Where the best rows span no plane that
 * looks to the ideal point, the plane of scaled objectives that add up to 1.
 * heights has as many places as rows are given. BV_INTERNAL: out of memory. */
bv_status bv_pick_heights(const bv_front *front, bv_picked picked,
                          double *heights, bv_error *error);

/* Marks the knees, most of them BV_KNEES_MOST: peaks of the height that no row
 * within 0.1 (scaled distance) tops, at least half as high as the highest and
 * 0.2 apart. */
enum { BV_KNEES_MOST = 3 };
bv_status bv_pick_knees(const bv_front *front, bv_picked picked, bool *is_knee,
                        bv_error *error);

/* Chooses the `best` rows that together cover most of the scaled objectives'
 * box up to 1.1, one after the other the row that adds most: greedy hypervolume
 * subset selection (A. P. Guerreiro, C. M. Fonseca, L. Paquete, Evolutionary
 * Computation 24(3), 2016), volumes counted by 4096 random points of a fixed
 * stream. Rows that add nothing follow by their sum of scaled objectives, rows
 * passed over and fronts without objectives in their order. chosen gets
 * min(best, picked.count) row numbers, the most telling first. BV_INTERNAL: out
 * of memory. */
bv_status bv_pick_best(const bv_front *front, bv_picked picked, size_t best,
                       size_t *chosen, bv_error *error);

#endif
