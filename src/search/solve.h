/* SPDX-License-Identifier: MIT */
/* What operators share that run a local solve. A cell holds the start, origin
 * and weights of the subproblem, rho, whether curvatures are measured, and the
 * slopes known so far; the run notes the slopes it leaves, with curvatures
 * where it measured them. */
#ifndef BV_SEARCH_SOLVE_H
#define BV_SEARCH_SOLVE_H

#include "search/plan.h"

/* Plans a solve from a start, aimed by origin and weight of every objective and
 * rho (chebyshev.h); `near`: the slopes known are of some use at the start. */
void bv_solve_plan(bv_search *search, bv_cell *cell, const double *start,
                   bool near, const double *origin, const double *weight,
                   double rho);

/* Aims at the least of objective j alone, the others weighed by rho. */
void bv_solve_aim_at_end(const bv_search *search, size_t j, double *origin,
                         double *weight);

void bv_solve_run(bv_log *log, const bv_cell *cell);

/* Keeps the slopes that a solve left for the next one. */
void bv_solve_learn(bv_search *search, const bv_cell *cell,
                    const bv_cell_result *result, double gain);

/* The same, but slopes from there would mislead along the front. */
void bv_solve_learn_apart(bv_search *search, const bv_cell *cell,
                          const bv_cell_result *result, double gain);

/* A good member of the population, which must not be empty: its x. */
const double *bv_solve_start_member(const bv_search *search, bv_random *random);

#endif
