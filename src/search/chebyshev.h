/* SPDX-License-Identifier: MIT */
/* The augmented Chebyshev function (R. Steuer, E. Choo, Math. Programming 26,
 * 1983), by which several objectives are one, and the way down to its least by
 * NLopt's SLSQP (D. Kraft, "A software package for sequential quadratic
 * programming", DFVLR-FB 88-28, 1988). chebyshev.c is the only file that
 * includes NLopt's header. */
#ifndef BV_SEARCH_CHEBYSHEV_H
#define BV_SEARCH_CHEBYSHEV_H

#include "search/slopes.h"

typedef struct bv_chebyshev {
  size_t objectives, limits;
  const double *origin, *weight; /* z and w, an objective each; w > 0 */
  double rho;
} bv_chebyshev;

/* max_j w_j (f_j - z_j) + rho sum_j w_j (f_j - z_j), and more where a limit is
 * broken. `values`: objectives, then limits. */
double bv_chebyshev_height(const bv_chebyshev *aim, const double *values);

/* What there is to go down on: `count` variables between lo and hi; where they
 * are equal a variable stays. */
typedef struct bv_ground bv_ground;
struct bv_ground {
  size_t count;
  const double *lo, *hi;
  /* Objectives and limits at a place; slopes will be asked for there, or not.
   */
  const double *(*values)(bv_ground *ground, const double *at, bool slopes);
  /* Of a row along a variable, at the place last asked for. */
  double (*slope)(const bv_ground *ground, size_t row, size_t variable);
  void *context; /* theirs */
  bool stop;     /* set by `values`: the way ends here */
  /* Tolerances of variables, height and values; places asked for, at most. */
  double near, flat, loose;
  int most;
};

/* How a way ended. */
typedef enum bv_solve_end {
  BV_SOLVE_CONVERGED, /* by its tolerances */
  BV_SOLVE_CUT,       /* told to stop, or at the most of places */
  BV_SOLVE_ROUNDED,   /* the line search was lost in rounding */
  BV_SOLVE_REFUSED,   /* NLopt refused or ran out of memory */
  BV_SOLVE_POINTLESS, /* bv_solve: nothing to vary, or the start failed */
  BV_SOLVE_END_COUNT
} bv_solve_end;

/* Goes down from `at` to the least of the function with every limit met, in
 * epigraph form so that it is smooth, and leaves in `at` where NLopt ended. */
bv_solve_end bv_chebyshev_descend(const bv_chebyshev *aim, bv_ground *ground,
                                  double *at);

#endif
