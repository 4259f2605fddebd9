/* SPDX-License-Identifier: MIT */
#include "script/plausible.h"

#include <math.h>
#include <stdio.h>

#include "model/part.h"

/* IEC 60205 defines all three by the same two sums: Ve = Ae le. Published
 * figures are rounded. */
bool bv_plausible_core(const void *row, char *why, size_t size) {
  static const double rounding = 1.2;
  const bv_core *core = row;
  double volume = core->effective_area * core->effective_length;
  double ratio = core->effective_volume / volume;
  snprintf(why, size,
           "effective_volume: expected effective_area times effective_length "
           "(IEC 60205), %.3g m3, found %.3g m3",
           volume, core->effective_volume);
  return ratio < rounding && ratio > 1 / rounding;
}

/* Geometry: the strands' copper lies within the overall circle. */
bool bv_plausible_wire(const void *row, char *why, size_t size) {
  const bv_wire *wire = row;
  double least = wire->bare_diameter * sqrt(wire->strands);
  snprintf(why, size,
           "insulated_diameter: expected at least %.3g m, for the copper of "
           "%.0f strands, found %.3g m",
           least, wire->strands, wire->insulated_diameter);
  return wire->insulated_diameter >= least;
}

/* Cores for power lose 1e4 to 1e7 W/m3 at 100 kHz and 0.1 T (common practice);
 * factors for kHz, mT or W/kg miss that by far more. */
bool bv_plausible_material(const void *row, char *why, size_t size) {
  static const double frequency = 100e3, peak = 0.1, least = 1e3, most = 1e8;
  const bv_material *material = row;
  double loss = material->steinmetz_k *
                pow(frequency, material->steinmetz_alpha) *
                pow(peak, material->steinmetz_beta);
  snprintf(why, size,
           "steinmetz_k: expected a loss from %g to %g W/m3 at 100 kHz and 0.1 "
           "T, found %.3g (k is for Hz and T)",
           least, most, loss);
  return loss >= least && loss <= most;
}
