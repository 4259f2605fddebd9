/* SPDX-License-Identifier: MIT */
/* Stage "room": what insulation asks for, and the space it leaves.
 *
 * Supply and output have a common ground, and so has the core, whose MnZn
 * ferrite conducts. The secondary's ends then reach the target in the off-time
 * and minus the reflected supply in the on-time, never both at once; the
 * primary's end reaches the clamp on top of the supply. Where output and supply
 * don't share a ground, one may stand on the other: the highest supply is added
 * to the peak in any case.
 *
 * Clearance: the larger of the impulse from the supply's side (IEC 60664-1 F.2)
 * and the peak voltage between the windings, which recurs every cycle (F.7a);
 * reinforced insulation 1.6 times the voltages; altitude.
 *
 * Part 1 ends at 30 kHz. Where the switching frequency may pass it, the
 * clearance of high frequency is taken where it is longer; reinforced
 * insulation twice that. It is applied and not only told since it costs little:
 * at pollution degree 2 the creepage distance is longer in 93 of 100 random
 * designs. At 2 kV its table ends, with distances that rise ever more steeply:
 * beyond, the last row is the least that can be said, and the sheet says that
 * part 4 and a test have to decide.
 *
 * Creepage by the rms voltage, twice for reinforced insulation, never below the
 * clearance. Half of it is the margin at each flange: the path leads over both.
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

/* Voltage of the whole secondary in the on-time, V. */
static double on_voltage(const bv_build *build) {
  return build->ratio * build->job->supply_voltage.max;
}

/* And in the off-time at the target: a stage's share of the output, of which a
 * series capacitor holds the reflected supply. */
static double off_voltage(const bv_build *build) {
  double stage = build->job->target_voltage / bv_build_multiple(build);
  bool doubles = bv_build_stages(build) > 0;
  return stage - (doubles ? build->ratio * build->job->supply_voltage.min : 0);
}

double bv_build_section_voltage(const bv_build *build) {
  return bv_most(on_voltage(build), off_voltage(build)) /
         build->choice->sections;
}

double bv_build_layer_voltage(const bv_build *build, double layers) {
  double section = bv_build_section_voltage(build);
  double in_layers =
      2 * section / (bv_most(1, layers) * build->secondary.chambers);
  return bv_least(in_layers, section);
}

double bv_build_gap_voltage(const bv_build *build) {
  return (build->job->target_voltage + on_voltage(build)) /
         build->choice->sections;
}

/* Output of the sections below the highest, on which it stands. */
static double voltage_below(const bv_build *build) {
  return build->job->target_voltage * (1 - 1 / build->choice->sections);
}

static double peak_voltage(const bv_build *build) {
  double m = build->choice->sections;
  double highest = voltage_below(build) + off_voltage(build) / m;
  double secondary = bv_most(highest, on_voltage(build) / m);
  return build->job->supply_voltage.max +
         bv_most(secondary, build->clamp_voltage);
}

/* The supply, within its range, that gives the largest mean square of a swing,
 * Vin times reflected voltage: a doubler's falls again where n Vin passes half
 * of a stage. */
static double swinging_supply(const bv_build *build) {
  const bv_supply *supply = &build->job->supply_voltage;
  if (bv_build_stages(build) == 0)
    return supply->max;
  double stage = build->job->target_voltage / bv_build_multiple(build);
  double most = stage / (2 * build->ratio);
  return bv_least(bv_most(most, supply->min), supply->max);
}

/* A winding's volt-seconds cancel over on- and off-time, so the mean square of
 * its swing is the product of its two voltages. The largest of: the end of the
 * highest section against ground and core; the end of the lowest section
 * against the primary's start, which is the supply; the primary's end, which
 * stands on the supply, against ground. */
static double working_voltage(const bv_build *build) {
  const bv_job *job = build->job;
  double supply = swinging_supply(build), below = voltage_below(build);
  double product =
      supply * bv_build_reflected(build, supply, job->target_voltage);
  double step = build->ratio / build->choice->sections;
  double highest = below * below + step * step * product;
  double across = job->supply_voltage.max * job->supply_voltage.max +
                  bv_most(1, step * step) * product;
  return sqrt(bv_most(highest, across));
}

static bv_distance longer(bv_distance a, bv_distance b) {
  return a.length >= b.length ? a : b;
}

static bv_distance high_frequency_clearance(const bv_build *build,
                                            double peak) {
  const bv_job *job = build->job;
  if (!(build->choice->max_frequency > BV_HIGH_FREQUENCY))
    return (bv_distance){0};
  double within = bv_least(peak, BV_HIGH_FREQUENCY_PEAK);
  bv_distance distance =
      bv_clearance_high_frequency(within, job->pollution_degree);
  if (peak > within)
    distance.source = BV_BEYOND;
  if (job->insulation == BV_REINFORCED)
    distance.length *= 2;
  distance.length *= bv_altitude_factor(job->altitude);
  return distance;
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
  needs.high_frequency = high_frequency_clearance(build, needs.peak);
  needs.clearance = longer(needs.clearance, needs.high_frequency);
  needs.creepage =
      bv_creepage(needs.working, job->pollution_degree, job->material_group);
  if (job->insulation == BV_REINFORCED)
    needs.creepage.length *= 2;
  needs.creepage = longer(needs.creepage, needs.clearance);
  needs.output = bv_creepage(job->target_voltage, job->pollution_degree,
                             job->material_group);
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
