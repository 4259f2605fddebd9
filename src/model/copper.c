/* SPDX-License-Identifier: MIT */
#include "model/copper.h"

#include <math.h>

#include "base/constants.h"

double bv_copper_resistivity(double temperature) {
  return BV_COPPER_RESISTIVITY *
         (1 + BV_COPPER_COEFFICIENT * (temperature - 20));
}

double bv_copper_resistance(double length, double area, double temperature) {
  return bv_copper_resistivity(temperature) * length / area;
}

double bv_copper_skin_depth(double frequency, double temperature) {
  return sqrt(bv_copper_resistivity(temperature) /
              (BV_PI * frequency * BV_MU0));
}
