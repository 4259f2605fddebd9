/* SPDX-License-Identifier: MIT */
#include "search/drift.h"

#include <math.h>

/* Evaluations of a stretch: enough for every operator to have had its turn. */
enum { STRETCH = 500 };

/* The way a front goes in a stretch, in ranges, that leaves nothing of what it
 * was: on published problems one moves at least so far from local front to
 * local front, and less than half of it once it only fills up. */
#define FAR 0.05

/* The first stretch is the way from the sample to any front at all: it doesn't
 * count. */
void bv_drift_watch(bv_drift *d, const bv_archive *front,
                    uint64_t evaluations) {
  if (evaluations < d->begin + STRETCH)
    return;
  if (d->begin > 0 && front->count > 0) {
    double way = (front->advance - d->advance) / (double) front->count;
    d->share = fmin(way / FAR, 1);
  }
  d->begin = evaluations;
  d->advance = front->advance;
}
