/* SPDX-License-Identifier: MIT */
#include "model/cycle_ramp.h"

/* Near the range of the series by half the angle, tan(x/2) = tan x/(1 + sqrt(1
 * + tan^2 x)), which is sooner than the library's. */
double bv_ramp_excess_far(double s) {
  double half = 1 + sqrt(1 - s), t = s / (half * half);
  if (fabs(t) < 0.04)
    return (2 / half * (1 + t * bv_ramp_excess(t)) - 1) / s;
  double y = sqrt(fabs(s));
  return ((s > 0 ? atanh(y) : atan(y)) / y - 1) / s;
}
