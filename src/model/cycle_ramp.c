/* SPDX-License-Identifier: MIT */
#include "model/cycle_ramp.h"

#include "model/lanes.h"

static const double reach = 0.15; /* the longer series holds 1e-14 */

/* In its range, or near it by half the angle, tan(x/2) = tan x/(1 + sqrt(1 +
 * tan^2 x)), which is sooner than the library's. */
double bv_ramp_excess_far(double s) {
  if (fabs(s) < reach)
    return bv_lane_excess(s);
  double half = 1 + sqrt(1 - s), t = s / (half * half);
  if (fabs(t) < reach)
    return (2 / half * (1 + t * bv_lane_excess(t)) - 1) / s;
  double y = sqrt(fabs(s));
  return ((s > 0 ? atanh(y) : atan(y)) / y - 1) / s;
}
