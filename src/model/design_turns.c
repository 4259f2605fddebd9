/* SPDX-License-Identifier: MIT */
/* Stage "turns": inductance from the frequency limit, turns from the flux
 * limit, windings, and the node capacitance they bring, which lengthens the
 * dead time and so lowers the inductance: a fixed point. More turns than the
 * flux limit needs, as long as the core then loses less than copper and leakage
 * lose more: a second one around it. Then stage "gap", and for a design that is
 * to be built design_whole.c. */
#include <math.h>

#include "base/constants.h"
#include "model/design_build.h"

double bv_build_switch_resistance(const bv_build *build) {
  const bv_switch *part = build->power_switch;
  return part->on_resistance *
         (1 + part->resistance_coefficient * (build->switch_temperature - 25));
}

/* The switch node's ring after the off-time. Above the supply's own level it
 * reaches zero volts early; the current that still returns then rises along the
 * supply and has not always come back when the switch turns on. */
static double returning_current(double supply, double reflected, double l,
                                double c, double delay) {
  if (!(reflected > supply) || !(c > 0))
    return 0;
  double swing = sqrt(reflected * reflected - supply * supply);
  double waited = (BV_PI - acos(-supply / reflected)) * sqrt(l * c) + delay;
  return bv_least(0, supply / l * waited - swing * sqrt(c / l));
}

static bv_clamp clamp_of(const bv_build *build, double leakage, double supply) {
  return (bv_clamp){leakage, build->clamp_voltage, build->node_winding, supply};
}

/* Nearer to the level than a tenth of it, the reflected voltage counts as that.
 */
static double below_level(const bv_build *build, double reflected) {
  double level = build->clamp_voltage;
  return level - bv_most(level - reflected, 0.1 * level);
}

bv_clamp_pulse bv_build_clamp(const bv_build *build, double supply,
                              double reflected, double current) {
  bv_clamp clamp = clamp_of(build, build->leakage, supply);
  return bv_clamp_take(&clamp, current, below_level(build, reflected));
}

bv_turn_off bv_build_turn_off(const bv_build *build, double leakage,
                              double supply, double reflected, double current) {
  const bv_switch *part = build->power_switch;
  bv_clamp clamp = clamp_of(build, leakage, supply);
  return bv_turn_off_take(&clamp, part->current_fall_time,
                          part->output_capacitance, current,
                          below_level(build, reflected));
}

bv_turn_off bv_build_turn_off_rough(const bv_build *build, double leakage,
                                    double supply, double reflected,
                                    double current) {
  const bv_switch *part = build->power_switch;
  bv_clamp clamp = clamp_of(build, leakage, supply);
  return bv_turn_off_rough(&clamp, part->current_fall_time,
                           part->output_capacitance, current,
                           below_level(build, reflected));
}

/* Current after clamp, overlap, core and the node's rise have taken their
 * energy. */
static double released_current(const bv_build *build, double supply,
                               double reflected, double l, double peak) {
  double c = build->node_capacitance, square = peak * peak;
  bv_turn_off off =
      bv_build_turn_off_rough(build, build->leakage, supply, reflected, peak);
  double rise = c * (reflected * reflected - supply * supply) / 2;
  double left = square * (1 - build->core_share) -
                2 * (off.clamp + off.overlap + rise) / l;
  return sqrt(bv_most(left, 0.01 * square));
}

static double primary_resistance(const bv_build *build) {
  return build->job->supply_resistance + build->sense_resistance +
         bv_build_switch_resistance(build) +
         build->primary.resistance * build->primary.factor;
}

/* Delay overshoot included. */
static double peak_current(const bv_build *build, double supply,
                           double inductance) {
  double level = build->choice->peak_current;
  double end = bv_most(supply - primary_resistance(build) * level, 0);
  return level + end / inductance * build->job->turn_off_delay;
}

/* The lumped cycle of charge.h without the secondary's resistance; the drop of
 * the mean current stands for the primary's. */
bv_end_cycle bv_build_cycle(const bv_build *build, double supply,
                            double inductance, double output) {
  const bv_job *job = build->job;
  double level = build->choice->peak_current, c = build->node_capacitance;
  double reflected = bv_build_reflected(build, supply, output);
  double start =
      returning_current(supply, reflected, inductance, c, job->turn_on_delay);
  double drop = primary_resistance(build) * (level + start) / 2;
  double across = bv_most(supply - drop, 0.1 * supply);
  bv_end_cycle cycle = {.reflected = reflected, .start = start};
  cycle.peak = peak_current(build, supply, inductance);
  cycle.on = inductance * (level - start) / across + job->turn_off_delay;
  cycle.off =
      inductance / reflected *
      released_current(build, supply, reflected, inductance, cycle.peak);
  cycle.dead = BV_PI * sqrt(inductance * c) + job->turn_on_delay +
               c * (supply + reflected) / cycle.peak;
  cycle.period = cycle.on + cycle.off + cycle.dead;
  return cycle;
}

/* The core's share of a cycle's energy at the highest supply, its ring below
 * zero taken for a part of both ramps. */
void bv_build_core_share(bv_build *build) {
  double supply = build->job->supply_voltage.max, l = build->inductance;
  bv_end_cycle c = bv_build_cycle(build, supply, l, build->job->target_voltage);
  double current = c.peak + c.reflected * sqrt(build->node_capacitance / l);
  double swing = bv_gap_flux_density(l, current, build->primary_turns,
                                     build->gap_core.area);
  double loss = bv_core_loss_cycle(build->core_ki, &build->core_fit, swing,
                                   c.on + c.dead / 2, c.off + c.dead / 2);
  double energy = l * c.peak * c.peak / 2;
  build->core_share =
      bv_least(loss * build->core->effective_volume / energy, 0.9);
}

/* One step of the iteration for the inductance whose last cycle at the highest
 * supply lasts 1/max_frequency: times that grow with L and times that grow with
 * its root are scaled to what the fixed delays leave. */
double bv_build_better_inductance(const bv_build *build, double inductance) {
  const bv_job *job = build->job;
  bv_end_cycle cycle = bv_build_cycle(build, job->supply_voltage.max,
                                      inductance, job->target_voltage);
  double fixed = job->turn_off_delay + job->turn_on_delay;
  double wanted = 1 / build->choice->max_frequency - fixed;
  double ring = BV_PI * sqrt(inductance * build->node_capacitance) -
                inductance * cycle.start / job->supply_voltage.max;
  double straight = bv_most(cycle.period - fixed - ring, 0.1 * cycle.period);
  /* straight s + ring sqrt(s) = wanted, for the scale s of L */
  double root = 2 * wanted / (ring + sqrt(ring * ring + 4 * straight * wanted));
  return inductance * root * root;
}

/* Turns that keep the flux at its limit and the gap from being negative. */
static double turns_needed(const bv_build *build) {
  const bv_gap_core *core = &build->gap_core;
  double peak =
      peak_current(build, build->job->supply_voltage.max, build->inductance);
  double flux =
      bv_gap_turns(build->inductance, peak, build->flux_limit, core->area);
  double closed = sqrt(build->inductance * core->length /
                       (BV_MU0 * core->permeability * core->area));
  return bv_most(1, bv_most(flux, closed));
}

/* Turns and windings for an inductance, and the inductance that their node
 * capacitance then asks for. */
static double asked_inductance(bv_build *build, double inductance) {
  build->inductance = inductance;
  double given = build->choice->primary_turns;
  build->primary_turns =
      given > 0 ? given : build->turns_factor * turns_needed(build);
  build->section_turns =
      build->primary_turns * build->ratio / build->choice->sections;
  bv_build_windings(build);
  bv_build_core_share(build);
  double asked = inductance;
  for (int i = 0; i < 3; i++)
    asked = bv_build_better_inductance(build, asked);
  return asked;
}

/* The fixed point by the secant method; plain steps, which contract by about a
 * tenth, begin it and stand in where the secant leads far away. The kinds of
 * wire, first chosen far from it, are chosen anew near it and then stay. */
static void relax(bv_build *build) {
  double l = asked_inductance(build, build->inductance);
  l = asked_inductance(build, l);
  build->primary.kind = build->secondary.kind = 0;
  double change = asked_inductance(build, l) - l, step = change;
  for (int i = 0; i < 10 && fabs(step) > 1e-9 * l; i++) {
    double before = change;
    l += step;
    change = asked_inductance(build, l) - l;
    double secant = step * change / (before - change);
    step = fabs(secant) < 2 * fabs(change) ? secant : change;
    step = bv_least(bv_most(step, -0.5 * l), l);
  }
}

void bv_build_gap(bv_build *build) {
  const bv_gap_core *core = &build->gap_core;
  double turns = build->primary_turns;
  double gap = bv_most(0, bv_gap_length(core, turns, build->inductance));
  if (build->whole)
    gap = BV_GAP_STEP * round(gap / BV_GAP_STEP);
  if (gap < 1e-9)
    gap = 0;
  build->gap = gap;
  build->inductance = bv_gap_inductance(core, turns, gap);
}

double bv_build_flux_use(const bv_build *build) {
  double peak =
      peak_current(build, build->job->supply_voltage.max, build->inductance);
  return bv_gap_flux_density(build->inductance, peak, build->primary_turns,
                             build->gap_core.area) /
         build->flux_limit;
}

/* By what factor on the turns the loss would be least, were the core's to fall
 * with turns^beta and that of copper and leakage to rise with their square. A
 * core that takes all there is can do with more. */
static double worthwhile_turns(const bv_build *build) {
  bv_charge charge;
  bv_reason reason = bv_build_try_charge(build, &charge);
  if (reason != BV_REASON_OK)
    return reason == BV_REASON_STALL ? 1.5 : 1;
  double beta = build->core_fit.beta;
  double rising = charge.loss_energy_primary + charge.loss_energy_secondary +
                  charge.loss_energy_clamp;
  return pow(beta * charge.loss_energy_core / (2 * rising), 1 / (2 + beta));
}

/* The turns that flux needs, or more where the core would lose too much. */
static void relax_for_loss(bv_build *build) {
  build->turns_factor = 1;
  relax(build);
  for (int i = 0; i < 3 && build->choice->primary_turns == 0; i++) {
    double factor = build->turns_factor * worthwhile_turns(build);
    build->turns_factor = bv_least(bv_most(1, factor), 10);
    if (build->turns_factor == 1)
      return;
    relax(build);
  }
}

bv_reason bv_build_turns(bv_build *build) {
  const bv_job *job = build->job;
  double period = 1 / build->choice->max_frequency;
  if (!(job->turn_off_delay + job->turn_on_delay < period))
    return BV_REASON_NO_INDUCTANCE;
  double supply = job->supply_voltage.max;
  double reflected = bv_build_reflected(build, supply, job->target_voltage);
  build->inductance =
      0.7 * period /
      (build->choice->peak_current * (1 / supply + 1 / reflected));
  build->node_capacitance = build->power_switch->output_capacitance;
  build->core_fit = bv_build_core_fit(build);
  build->core_ki = bv_core_loss_ki(&build->core_fit);
  relax_for_loss(build);
  bv_reason reason = BV_REASON_OK;
  if (build->buildable)
    reason = bv_build_whole(build);
  else
    bv_build_gap(build);
  if (reason != BV_REASON_OK)
    return reason;
  if (!(build->inductance > 0) || !isfinite(build->inductance))
    return BV_REASON_NO_INDUCTANCE;
  if (!(build->leakage < build->inductance))
    return BV_REASON_LEAKAGE_TOO_HIGH;
  return BV_REASON_OK;
}
