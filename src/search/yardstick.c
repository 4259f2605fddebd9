/* SPDX-License-Identifier: MIT */
#include "search/yardstick.h"

#include <math.h>

#define SPAN_LEAST 0.02
#define MARGIN 0.1 /* of the reference beyond the worst, in ranges */

bv_yardstick bv_yardstick_make(size_t objectives, const double *best,
                               const double *worst, const double *sampled_lo,
                               const double *sampled_hi) {
  bv_yardstick y = {0};
  for (size_t j = 0; j < objectives; j++) {
    double sampled = sampled_hi[j] - sampled_lo[j];
    double range = worst[j] - best[j];
    if (!(range > SPAN_LEAST * sampled))
      range = sampled;
    /* Objectives that are all equal, or so large that a difference is lost. */
    if (!(range > 0) || !isfinite(range))
      range = 1;
    y.ideal[j] = best[j];
    y.range[j] = range;
    y.reference[j] = best[j] + (1 + MARGIN) * range;
  }
  return y;
}
