/* SPDX-License-Identifier: MIT */
#include "model/switch.h"

#include <math.h>

double bv_overlap_share(double voltage, double current, double fall_time,
                        double capacitance) {
  double square = 2 * capacitance * voltage / (current * fall_time);
  if (!(square < 1))
    return 1 / (6 * square);
  return 1 - 4.0 / 3 * sqrt(square) + square / 2;
}
