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

#endif
