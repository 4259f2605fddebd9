/* SPDX-License-Identifier: MIT */
/* Gauss-Legendre quadrature with fixed numbers of points, nodes on [-1, 1]
 * (M. Abramowitz, I. Stegun, Handbook of Mathematical Functions, table 25.4).
 */
#ifndef BV_BASE_QUADRATURE_H
#define BV_BASE_QUADRATURE_H

#include <stddef.h>

typedef struct bv_quadrature {
  size_t count;
  const double *nodes, *weights; /* count each; weights add up to 2 */
} bv_quadrature;

/* The rule of 2, 4, 6, 8, 12 or 16 points; any other count gives the next
 * larger of these, more than 16 gives 16. */
bv_quadrature bv_quadrature_rule(size_t points);

/* Kronrod's extension of the rule of 3 points, whose nodes are among its own:
 * it is exact to degree 11, and the difference of the two tells an error (A. S.
 * Kronrod, Nodes and Weights of Quadrature Formulas, 1965). */
typedef struct bv_kronrod {
  size_t count;
  const double *nodes, *weights; /* in rising order */
  const double *inner;           /* weights of the 3 points, 0 at the others */
} bv_kronrod;

bv_kronrod bv_quadrature_kronrod(void);

#endif
