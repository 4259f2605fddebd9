/* SPDX-License-Identifier: MIT */
/* bv_design_make: the stages of design_build.h one after the other. */
#include <math.h>

#include "model/design_build.h"

static bool words_known(const bv_job *job, const bv_choice *choice) {
  return job->insulation >= 0 && job->insulation < BV_INSULATION_COUNT &&
         choice->rectifier >= 0 && choice->rectifier < BV_RECTIFIER_COUNT;
}

static bool makes_sense(const bv_job *job, const bv_choice *choice) {
  const bv_supply *supply = &job->supply_voltage;
  return bv_field_all_in_range(bv_job_fields, job) &&
         bv_field_all_in_range(bv_choice_fields, choice) &&
         words_known(job, choice) && supply->min > 0 &&
         supply->min <= supply->nominal && supply->nominal <= supply->max &&
         supply->max < HUGE_VAL && job->start_voltage < job->target_voltage;
}

/* A charge with so much of the series capacitor that the rule would choose. */
static bv_reason charge_with(bv_build *build, double share) {
  build->series_share = share;
  bv_build_series(build);
  return bv_build_charge(build);
}

/* The rule for a doubler's series capacitor keeps away from where the model
 * ends: pulses as long as the on-time or without a ring. Where a charge fails
 * by it, most often in the first cycles, which carry a small capacitor far into
 * reverse, one nearer to there is taken, or else a smaller one. */
static bv_reason charge_somehow(bv_build *build) {
  static const double others[] = {1.5, 2, 2.8, 0.6};
  bool chosen =
      bv_build_stages(build) > 0 && !(build->choice->series_capacitance > 0);
  const bv_build before = *build;
  bv_reason reason = charge_with(build, 1);
  if (reason == BV_REASON_OK || !chosen)
    return reason;
  const bv_build failed = *build;
  for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
    *build = before;
    if (charge_with(build, others[i]) == BV_REASON_OK)
      return BV_REASON_OK;
  }
  *build = failed;
  return reason;
}

static bv_reason run_stages(bv_build *build) {
  bv_reason reason = bv_build_parts(build);
  if (reason != BV_REASON_OK)
    return reason;
  bv_build_room(build);
  reason = bv_build_turns(build);
  if (reason != BV_REASON_OK)
    return reason;
  bv_build_resistance(build);
  build->needs = bv_build_insulation(build);
  return charge_somehow(build);
}

static bv_reason make(const bv_job *job, const bv_choice *choice,
                      const bv_parts *parts, bv_precision precision,
                      bool trials, bv_build *build) {
  double warm = job->ambient_temperature + (job->shots_per_second > 0 ? 30 : 0);
  *build =
      (bv_build){.job = job,
                 .choice = choice,
                 .parts = parts,
                 .buildable = precision == BV_BUILDABLE,
                 .trials = trials,
                 .primary = {.fixed = choice->primary_wire, .factor = 1},
                 .secondary = {.fixed = choice->secondary_wire, .factor = 1},
                 .supply_share = 1,
                 .series_share = 1,
                 .temperature = warm,
                 .switch_temperature = warm};
  return run_stages(build);
}

/* Windings are tried at the nominal supply; where the best fails at another,
 * that of the fewest turns has to do. */
bv_reason bv_build_make(const bv_job *job, const bv_choice *choice,
                        const bv_parts *parts, bv_precision precision,
                        bv_build *build) {
  if (!makes_sense(job, choice))
    return BV_REASON_BAD_JOB;
  bv_reason reason = make(job, choice, parts, precision, true, build);
  if (reason != BV_REASON_OK && build->took_trial)
    reason = make(job, choice, parts, precision, false, build);
  return reason;
}

/* The largest of the supplies, for what the charge refuses. */
static double charge_impossibility(const bv_build *build, bv_reason reason) {
  const bv_supply *supply = &build->job->supply_voltage;
  const double supplies[] = {supply->min, supply->nominal, supply->max};
  double most = 1;
  for (size_t i = 0; i < 3; i++) {
    bv_circuit circuit;
    bv_build_circuit(build, supplies[i], &circuit);
    most = bv_most(most, bv_charge_impossibility(&circuit, reason));
  }
  return most;
}

double bv_build_impossibility(const bv_build *build, bv_reason reason) {
  switch (reason) {
  case BV_REASON_BAD_JOB:
  case BV_REASON_NO_CORE:
  case BV_REASON_CORE_CANNOT_BE_WOUND:
  case BV_REASON_NO_MATERIAL:
  case BV_REASON_NO_WIRE:
  case BV_REASON_NO_SWITCH:
  case BV_REASON_NO_DIODE:
    return BV_IMPOSSIBLE;
  case BV_REASON_RATIO_TOO_HIGH:
    return bv_impossibility(build->ratio * build->job->supply_voltage.max *
                            bv_build_multiple(build) /
                            build->job->target_voltage);
  case BV_REASON_LEAKAGE_TOO_HIGH:
    return bv_impossibility(build->leakage / build->inductance);
  case BV_REASON_NO_INDUCTANCE:
    return bv_impossibility(
        (build->job->turn_off_delay + build->job->turn_on_delay) *
        build->choice->max_frequency);
  default:
    return charge_impossibility(build, reason);
  }
}

void bv_design_make(const bv_job *job, const bv_choice *choice,
                    const bv_parts *parts, bv_precision precision,
                    bv_design *design) {
  bv_build build;
  bv_field_defaults(bv_design_fields, design);
  bv_reason reason = bv_build_make(job, choice, parts, precision, &build);
  design->reason = (int) reason;
  if (reason == BV_REASON_OK)
    bv_build_report(&build, design);
  else
    design->impossibility = bv_build_impossibility(&build, reason);
}
