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

double bv_capacitance_first_layer(double plates, double layers) {
  return plates / (3 * layers * layers);
}

double bv_capacitance_last_layer(double plates, double layers) {
  double share = 1 / fmax(layers, 1);
  return plates * (1 - share + share * share / 3);
}
