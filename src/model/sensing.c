/* SPDX-License-Identifier: MIT */
#include "model/sensing.h"

#include <math.h>

double bv_sensing_plateau(const bv_sensing *sensing, double output,
                          double current) {
  double inside = output + sensing->drop + sensing->resistance * current;
  return inside * (1 - sensing->leakage / 2) / sensing->ratio;
}

double bv_sensing_stop(const bv_sensing *sensing, double target,
                       double current) {
  return target / (1 - sensing->leakage / 2) - sensing->drop -
         sensing->resistance * current;
}

double bv_sensing_step(double energy, double capacitance, double voltage) {
  double gain = 2 * energy / capacitance;
  return gain / (voltage + sqrt(voltage * voltage + gain));
}
