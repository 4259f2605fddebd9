/* SPDX-License-Identifier: MIT */
/* Local solves: one scalarised subproblem, evaluated through a log. */
#ifndef BV_SEARCH_SOLVER_H
#define BV_SEARCH_SOLVER_H

#include "search/chebyshev.h"
#include "search/log.h"

/* The least of an augmented Chebyshev function with every limit met. Discrete
 * variables stay as they are in start. */
typedef struct bv_subproblem {
  const double *start; /* x */
  bv_chebyshev aim;
  bool curved; /* measure curvatures at the start, too */
} bv_subproblem;

/* Solves, evaluating through the log alone: results are what it holds. The
 * slopes are measured by differences where unknown, else taken as they are;
 * they are kept up to date and left for the next solve, unless they led no
 * further. One objective is gone down on itself; several on the model that the
 * slopes are, step by step, no farther than it has proved true (a trust region;
 * A. Conn, N. Gould, P. Toint, "Trust-Region Methods", SIAM, 2000), and no
 * longer than it leads further. */
bv_solve_end bv_solve(bv_log *log, const bv_subproblem *subproblem,
                      bv_slopes slopes);

#endif
