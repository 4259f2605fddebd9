/* SPDX-License-Identifier: MIT */
/* Stage "room": what insulation asks for, and the space it leaves.
 *
 * Clearance: the larger of the impulse from the supply's side (IEC 60664-1 F.2)
 * and the peak voltage between the windings, which recurs every cycle (F.7a);
 * reinforced insulation 1.6 times the voltages; altitude. Creepage by the rms
 * voltage, twice for reinforced insulation, never below the clearance. Half of
 * it is the margin at each flange: the path leads over both.
 *
 * Barrier and insulation between sections: the voltage over 5 kV/mm (common
 * practice for impregnated polyester tape and a long life), at least two tapes;
 * reinforced insulation three and 0.4 mm. */
#include <math.h>

#include "model/design_build.h"

static const double design_field = 5e6; /* V/m */
static const double tape = 50e-6;       /* m */
static const double reinforced = 4e-4;  /* m */

double bv_build_layer_of(double voltage) {
  return bv_most(2 * tape, voltage / design_field);
}

/* During the off-time a section's end stands at the output that it makes, a
 * ladder's at the share of a stage, during the on-time at minus the reflected
 * supply; the mean square of its swing is V n Vin for one section. The highest
 * of m sections stands on (m - 1)/m of the output. */
static double working_voltage(const bv_build *build) {
  const bv_job *job = build->job;
  double m = build->choice->sections, target = job->target_voltage;
  double below = (m - 1) / m * target;
  double swing = target / bv_build_multiple(build) * build->ratio *
                 job->supply_voltage.max / (m * m);
  return sqrt(below * below + swing);
}

static double peak_voltage(const bv_build *build) {
  double m = build->choice->sections, target = build->job->target_voltage;
  double below = (m - 1) / m * target;
  double wound = target / (m * bv_build_multiple(build));
  return below + wound + build->ratio * build->job->supply_voltage.max;
}

static bv_distance longer(bv_distance a, bv_distance b) {
  return a.length >= b.length ? a : b;
}

static void hold_clearance(const bv_job *job, bv_insulation_needs *needs) {
  double degree = job->insulation == BV_REINFORCED ? 2 : 1;
  double transient = bv_insulation_impulse(job->transient_voltage, degree);
  double peak = bv_insulation_impulse(needs->peak, degree);
  needs->impulse = bv_most(transient, peak);
  needs->clearance = longer(
      bv_clearance_impulse(transient, job->pollution_degree, BV_INHOMOGENEOUS),
      bv_clearance_recurring(peak, job->pollution_degree));
  needs->clearance.length *= bv_altitude_factor(job->altitude);
}

bv_insulation_needs bv_build_insulation(const bv_build *build) {
  const bv_job *job = build->job;
  bv_insulation_needs needs = {.working = working_voltage(build)};
  needs.peak = peak_voltage(build);
  hold_clearance(job, &needs);
  needs.creepage =
      bv_creepage(needs.working, job->pollution_degree, job->material_group);
  if (job->insulation == BV_REINFORCED)
    needs.creepage.length *= 2;
  needs.creepage = longer(needs.creepage, needs.clearance);
  return needs;
}

static double barrier(const bv_build *build, double peak) {
  double thickness = bv_build_layer_of(peak);
  if (build->job->insulation == BV_REINFORCED)
    thickness = bv_most(bv_most(3 * tape, reinforced), thickness);
  return thickness;
}

void bv_build_room(bv_build *build) {
  bv_insulation_needs needs = bv_build_insulation(build);
  double margin = build->choice->margin;
  build->margin = margin >= 0 ? margin : needs.creepage.length / 2;
  build->barrier = barrier(build, needs.peak);
  /* Margins that leave nothing: the rest goes smoothly to a twentieth or a
   * millimetre, and layers grow out of the window instead. */
  double free = build->bobbin.width - 2 * build->margin;
  double least = bv_most(0.05 * build->bobbin.width, 1e-3);
  build->width = free > 2 * least ? free : least * (1 + exp(free / least - 2));
}
