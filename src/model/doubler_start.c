/* SPDX-License-Identifier: MIT */
#include "model/doubler_start.h"

#include <math.h>

bv_doubler_start bv_doubler_start_of(double inductance, double leakage,
                                     double capacitance, double ratio,
                                     double supply, double peak) {
  bv_doubler_start start = {.magnetising = peak};
  double drive = ratio * supply;
  if (!(capacitance > 0))
    return start;
  start.magnetising =
      sqrt(peak * peak + capacitance * drive * drive / inductance);
  double reverse = start.magnetising * sqrt(inductance / capacitance);
  start.recharge = (drive + reverse) * sqrt(capacitance / leakage);
  start.charge = 2 * ratio * (drive + reverse) * capacitance;
  start.voltage = 2 * drive + reverse;
  return start;
}
