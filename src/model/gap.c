/* SPDX-License-Identifier: MIT */
#include "model/gap.h"

#include <math.h>

#include "base/constants.h"

double bv_gap_reluctance(double length, double area, double permeability) {
  return length / (BV_MU0 * permeability * area);
}

double bv_gap_fringing(double gap, double area, double width) {
  if (!(gap > 0) || gap >= 2 * width)
    return 1;
  return 1 + gap / sqrt(area) * log(2 * width / gap);
}

bool bv_gap_fringing_valid(double gap, double area, double width) {
  return gap >= 0 && gap <= 0.2 * sqrt(area) && gap <= 0.1 * width;
}

double bv_gap_fringing_enlarged(double gap, double a, double b) {
  return (a + gap) * (b + gap) / (a * b);
}

double bv_gap_plain(const bv_gap_core *core, double turns, double inductance) {
  return BV_MU0 * turns * turns * core->area / inductance -
         core->length / core->permeability;
}

/* h(lg) = lg - plain F(lg) is convex and positive at plain times the largest F
 * (at lg = 2 G/e) and at 2 G, so Newton's steps fall from there to the root. */
double bv_gap_length(const bv_gap_core *core, double turns, double inductance) {
  double plain = bv_gap_plain(core, turns, inductance);
  double reach = 2 * core->width, root = sqrt(core->area);
  if (!(plain > 0) || plain >= reach)
    return plain;
  double gap = fmin(reach, plain * (1 + reach / (exp(1) * root)));
  for (int i = 0; i < 50; i++) {
    double logarithm = log(reach / gap);
    double excess = gap - plain * (1 + gap / root * logarithm);
    double step = excess / (1 - plain / root * (logarithm - 1));
    gap -= step;
    if (fabs(step) <= 1e-12 * gap)
      break;
  }
  return gap;
}

double bv_gap_inductance(const bv_gap_core *core, double turns, double gap) {
  double fringing = bv_gap_fringing(gap, core->area, core->width);
  double reluctance =
      bv_gap_reluctance(core->length, core->area, core->permeability) +
      bv_gap_reluctance(gap, core->area * fringing, 1);
  return turns * turns / reluctance;
}

double bv_gap_flux_density(double inductance, double current, double turns,
                           double area) {
  return inductance * current / (turns * area);
}

double bv_gap_turns(double inductance, double current, double flux_density,
                    double area) {
  return inductance * current / (flux_density * area);
}

double bv_gap_energy(double flux_density, double area, double length,
                     double permeability) {
  return flux_density * flux_density * area * length /
         (2 * BV_MU0 * permeability);
}
