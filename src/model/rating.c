/* SPDX-License-Identifier: MIT */
#include "model/rating.h"

#include <math.h>

double bv_margin(double stress, double rating, double derating) {
  return 1 - stress / (derating * rating);
}

static double switch_margin(const bv_switch *part, const bv_stress *stress) {
  return fmin(bv_margin(stress->voltage, part->voltage_rating,
                        stress->voltage_derating),
              bv_margin(stress->current, part->current_rating,
                        stress->current_derating));
}

const bv_switch *bv_switch_pick(const bv_switch *list, size_t count,
                                const bv_stress *stress) {
  const bv_switch *best = NULL;
  double best_margin = -HUGE_VAL;
  for (size_t i = 0; i < count; i++) {
    double margin = switch_margin(&list[i], stress);
    if (margin >= 0)
      return &list[i];
    if (margin > best_margin)
      best = &list[i], best_margin = margin;
  }
  return best;
}

double bv_diode_derating(const bv_stress *stress, double series) {
  return stress->voltage_derating * (series > 1 ? stress->sharing : 1);
}

double bv_diode_series(const bv_diode *diode, const bv_stress *stress) {
  double alone = stress->voltage_derating * diode->voltage_rating;
  if (stress->voltage <= alone)
    return 1;
  return fmax(2, ceil(stress->voltage / (alone * stress->sharing) - 1e-9));
}

static double diode_margin(const bv_diode *part, const bv_stress *stress,
                           double series) {
  return fmin(bv_margin(stress->voltage / series, part->voltage_rating,
                        bv_diode_derating(stress, series)),
              bv_margin(stress->current, part->current_rating,
                        stress->current_derating));
}

const bv_diode *bv_diode_pick(const bv_diode *list, size_t count,
                              const bv_stress *stress, double *series) {
  const bv_diode *best = NULL;
  double given = *series, best_margin = -HUGE_VAL;
  for (size_t i = 0; i < count; i++) {
    double needed = given > 0 ? given : bv_diode_series(&list[i], stress);
    double margin = fmin(0, diode_margin(&list[i], stress, needed));
    if (margin > best_margin || (margin == best_margin && needed < *series))
      best = &list[i], best_margin = margin, *series = needed;
  }
  return best;
}
