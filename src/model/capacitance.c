/* SPDX-License-Identifier: MIT */
#include "model/capacitance.h"

#include <math.h>

#include "base/constants.h"

double bv_capacitance_plates(double mean_turn, double width, double distance,
                             double permittivity) {
  return BV_EPSILON0 * permittivity * mean_turn * width / distance;
}

double bv_capacitance_distance(double centres, double diameter, double pitch) {
  return fmax(centres - 1.15 * diameter + 0.26 * pitch, centres - diameter);
}

double bv_capacitance_winding(double between_layers, double layers,
                              bv_layer_return way, double chambers) {
  double pairs = fmax(layers - 1, 0) / (layers * layers);
  double shape = way == BV_FOLDED ? 4.0 / 3 : 1;
  return between_layers * shape * pairs / (chambers * chambers);
}

/* Mean square of a voltage that in each of the chambers goes from the share
 * low of the chamber's own to high. */
static double mean_square(double low, double high, double chambers) {
  double starts = (chambers - 1) * (2 * chambers - 1) / 6;
  double mean = (chambers - 1) / 2 * (low + high);
  double own = (low * low + low * high + high * high) / 3;
  return (starts + mean + own) / (chambers * chambers);
}

double bv_capacitance_first_layer(double plates, double layers,
                                  double chambers) {
  return plates * mean_square(0, 1 / fmax(layers, 1), chambers);
}

double bv_capacitance_last_layer(double plates, double layers,
                                 double chambers) {
  return plates * mean_square(1 - 1 / fmax(layers, 1), 1, chambers);
}

double bv_capacitance_first_mean(double layers, double chambers) {
  return (chambers - 1 + 1 / fmax(layers, 1)) / (2 * chambers);
}

double bv_capacitance_last_mean(double layers, double chambers) {
  return (chambers + 1 - 1 / fmax(layers, 1)) / (2 * chambers);
}

double bv_capacitance_sections(double plates, double layers) {
  double share = 1 / fmax(layers, 1), even = sin(BV_PI / 2 * (layers - 1));
  if (layers < 1)
    even = 0;
  return plates * ((1 - share) * (1 - share) + even * even * share * share / 3);
}

double bv_capacitance_walls(double plates, double chambers) {
  return plates * (chambers - 1) / (chambers * chambers);
}
