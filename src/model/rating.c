/* SPDX-License-Identifier: MIT */
#include "model/rating.h"

#include <math.h>
#include <stdbool.h>

double bv_margin(double stress, double rating, double derating) {
  return 1 - stress / (derating * rating);
}

double bv_switch_margin(const bv_switch *part, const bv_stress *stress) {
  return fmin(bv_margin(stress->voltage, part->voltage_rating,
                        stress->voltage_derating),
              bv_margin(stress->current, part->current_rating,
                        stress->current_derating));
}

double bv_switch_loss(const bv_switch *part, const bv_stress *stress) {
  double heating = stress->current * stress->current * stress->conduction / 3;
  return 1.5 * part->on_resistance * heating +
         part->gate_charge * part->gate_voltage;
}

/* A candidate by its margin, cut at 0 where it is rated, and by its loss. */
typedef struct rank {
  double margin, series, loss;
} rank;

static bool better(rank a, rank b) {
  if (a.margin != b.margin)
    return a.margin > b.margin;
  return a.loss != b.loss ? a.loss < b.loss : a.series < b.series;
}

static const rank worst = {-HUGE_VAL, HUGE_VAL, HUGE_VAL};

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

/* And what its number has to be worth. */
static double diode_loss(const bv_diode *part, const bv_stress *stress,
                         double series) {
  double current = stress->current;
  double conduction = (part->forward_drop * current / 2 +
                       part->dynamic_resistance * current * current / 3) *
                      stress->conduction;
  return series * (conduction + stress->worth) +
         stress->swing * part->capacitance / series;
}

const bv_diode *bv_diode_pick(const bv_diode *list, size_t count,
                              const bv_stress *stress, double *series) {
  const bv_diode *best = NULL;
  double given = *series;
  rank so_far = worst;
  for (size_t i = 0; i < count; i++) {
    double needed = given > 0 ? given : bv_diode_series(&list[i], stress);
    double margin = fmin(0, diode_margin(&list[i], stress, needed));
    if (margin < so_far.margin)
      continue;
    rank now = {margin, needed, diode_loss(&list[i], stress, needed)};
    if (better(now, so_far))
      best = &list[i], so_far = now, *series = needed;
  }
  return best;
}
