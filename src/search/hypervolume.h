/* SPDX-License-Identifier: MIT */
/* Exact hypervolume: what a set of points dominates, up to a reference point.
 */
#ifndef BV_SEARCH_HYPERVOLUME_H
#define BV_SEARCH_HYPERVOLUME_H

#include <stddef.h>

/* The hypervolume of count points of 1 … BV_OBJECTIVES_MOST objectives each
 * (points[i * objectives + j], smaller is better); points not better than the
 * reference in every objective count for nothing, dominated ones do no harm.
 *
 * Two objectives by sorting, three by sweeping a staircase along the third
 * (N. Beume, C. Fonseca, M. Lopez-Ibanez, L. Paquete, J. Vahrenhold, "On the
 * complexity of computing the hypervolume indicator", IEEE Trans. Evol. Comput.
 * 13(5), 2009), both O(n log n); more by exclusive volumes over limited sets
 * (L. While, L. Bradstreet, L. Barone, "A fast way of calculating exact
 * hypervolumes", IEEE Trans. Evol. Comput. 16(1), 2012), which takes seconds
 * from some thousand points of four or some hundred of six objectives. */
double bv_hypervolume(const double *points, size_t count, size_t objectives,
                      const double *reference);

/* The reference point of a front between its best and worst values: a tenth of
 * its extent beyond the worst; 0.1 beyond where it has none. */
void bv_hypervolume_reference(const double *best, const double *worst,
                              size_t objectives, double *reference);

#endif
