/* SPDX-License-Identifier: MIT */
#include "model/clamp.h"

#include <math.h>

double bv_clamp_energy(double leakage, double current, double clamp,
                       double reflected) {
  if (!(clamp > reflected))
    return leakage > 0 ? HUGE_VAL : 0;
  return leakage * current * current * clamp / (2 * (clamp - reflected));
}

double bv_clamp_time(double leakage, double current, double clamp,
                     double reflected) {
  if (!(clamp > reflected))
    return leakage > 0 ? HUGE_VAL : 0;
  return leakage * current / (clamp - reflected);
}
