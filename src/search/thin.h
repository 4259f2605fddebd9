/* SPDX-License-Identifier: MIT */
/* Thinning: the rows of a front that stand for all of it. */
#ifndef BV_SEARCH_THIN_H
#define BV_SEARCH_THIN_H

#include <stdbool.h>
#include <stddef.h>

/* Chooses `most` of count nondominated points (points[i * objectives + j],
 * smaller is better): the best in each objective and the knee (farthest from
 * the plane of those ends) always, as far as they fit, then whichever leads
 * most over those chosen (each time the point that would have to be worsened
 * most, in shares of the front's extent, before a chosen one covers it), which
 * keeps the hypervolume. keep[i] tells whether point i stays; true for all
 * where they fit. O(count * most). */
void bv_thin_points(const double *points, size_t count, size_t objectives,
                    size_t most, bool *keep);

#endif
