/* SPDX-License-Identifier: MIT */
/* Hypervolume: what a set of points dominates, up to a reference point.
 */
#ifndef BV_SEARCH_HYPERVOLUME_H
#define BV_SEARCH_HYPERVOLUME_H

#include <stdbool.h>
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

/* A hypervolume to be told while somebody waits. */
typedef struct bv_volume {
  double value;
  bool is_estimate;
} bv_volume;

/* As bv_hypervolume where that takes milliseconds: up to three objectives, 500
 * points of four, 150 of more. Else an estimate from 10 000 points that chance
 * puts between the best values and the reference, the same in every run: where
 * the front dominates a share p of them, its standard deviation is
 * sqrt((1 - p) / p) per cent of the value. Takes less than a second for 20 000
 * points. */
bv_volume bv_hypervolume_told(const double *points, size_t count,
                              size_t objectives, const double *reference);

/* The reference point of a front between its best and worst values: a tenth of
 * its extent beyond the worst; 0.1 beyond where it has none. */
void bv_hypervolume_reference(const double *best, const double *worst,
                              size_t objectives, double *reference);

#endif
