/* SPDX-License-Identifier: MIT */
/* Local solves: one scalarised subproblem by NLopt's SLSQP (D. Kraft, "A
 * software package for sequential quadratic programming", DFVLR-FB 88-28,
 * 1988). solver.c is the only file that includes NLopt's header. */
#ifndef BV_SEARCH_SOLVER_H
#define BV_SEARCH_SOLVER_H

#include "search/log.h"

/* Known slopes of all objectives and limits over the unit interval of each
 * variable, in one row of numbers, so that solves can hand them on. */
typedef struct bv_slopes {
  double *known;  /* 1 number: 0 where nothing is known */
  double *at;     /* a variable each: where, in units */
  double *values; /* objectives, then limits, there */
  double *matrix; /* values x variables */
} bv_slopes;

size_t bv_slopes_size(const bv_problem *problem);
bv_slopes bv_slopes_view(const bv_problem *problem, double *numbers);

/* The augmented Chebyshev subproblem (R. Steuer, E. Choo, Math. Programming 26,
 * 1983): minimise max_j w_j (f_j - z_j) + rho sum_j w_j (f_j - z_j) with every
 * limit met, in epigraph form so that it is smooth. Discrete variables stay as
 * they are in start. */
typedef struct bv_subproblem {
  const double *start;           /* x */
  const double *origin, *weight; /* z and w, an objective each */
  double rho;
  double step;     /* of difference quotients, in units */
  size_t patience; /* it ends after so many evaluations in a row that led no
                      further, and forgets slopes that never did; 0: never */
} bv_subproblem;

/* How a solve ended. */
typedef enum bv_solve_end {
  BV_SOLVE_CONVERGED, /* by its tolerances */
  BV_SOLVE_CUT,       /* the log was full, or patience came to its end */
  BV_SOLVE_ROUNDED,   /* the line search was lost in rounding */
  BV_SOLVE_REFUSED,   /* NLopt refused or ran out of memory; the log holds */
  BV_SOLVE_POINTLESS, /* nothing to vary, or the start failed */
  BV_SOLVE_END_COUNT
} bv_solve_end;

/* Solves, evaluating through the log alone: results are what it holds. The
 * slopes are measured by differences where unknown, else taken as they are;
 * they are kept up to date by rank-one updates (C. Broyden, Math. Comp. 19,
 * 1965) and left for the next solve. */
bv_solve_end bv_solve(bv_log *log, const bv_subproblem *subproblem,
                      bv_slopes slopes);

#endif
