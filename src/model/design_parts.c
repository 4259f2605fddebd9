/* SPDX-License-Identifier: MIT */
/* Stage "parts": the core with its estimates, material, diodes, switch with its
 * clamp level, sense resistor and bleeder.
 *
 * Estimates where the catalogue has no figure (common practice): winding width
 * sqrt(3.5 window) as of E and ETD bobbins; cooling surface by thermal.h; mass
 * by the density of ferrite. Switch and diodes are chosen for the turns ratio
 * that is wanted, then again for the one that whole turns give. */
#include <math.h>

#include "model/core.h"
#include "model/design_build.h"
#include "model/rating.h"
#include "model/safety.h"
#include "model/thermal.h"

static double given_or(double given, double estimate) {
  return given > 0 ? given : estimate;
}

static bv_reason take_core(bv_build *build) {
  const bv_core *core = build->choice->core;
  if (!core)
    return BV_REASON_NO_CORE;
  if (!(core->winding_area > 0) || !(core->mean_turn_length > 0))
    return BV_REASON_CORE_CANNOT_BE_WOUND;
  double width = given_or(core->winding_width, sqrt(3.5 * core->winding_area));
  build->core = core;
  build->bobbin =
      (bv_bobbin){width, core->winding_area / width, core->mean_turn_length};
  build->gap_core.area = core->effective_area;
  build->gap_core.length = core->effective_length;
  build->gap_core.width = width;
  build->narrowest = given_or(core->minimum_area, core->effective_area);
  build->surface =
      given_or(core->surface_area,
               bv_thermal_surface(core->effective_area * core->winding_area));
  build->mass =
      given_or(core->mass, core->effective_volume * BV_FERRITE_DENSITY);
  return BV_REASON_OK;
}

static bv_reason take_material(bv_build *build) {
  const bv_material *material = build->choice->material;
  if (!material && build->parts->material_count)
    material = build->parts->materials;
  if (!material)
    return BV_REASON_NO_MATERIAL;
  build->material = material;
  build->gap_core.permeability = material->relative_permeability;
  double saturation = bv_core_saturation(material->saturation_flux_25,
                                         material->saturation_flux_100,
                                         build->job->hot_spot_limit);
  double safe =
      0.8 * saturation * build->narrowest / build->core->effective_area;
  build->flux_limit = given_or(build->choice->flux_limit, safe);
  return BV_REASON_OK;
}

static void survey_stranded(bv_build *build, const bv_wire *wire) {
  bv_strand *end = build->strand + build->strand_count, *strand = build->strand;
  while (strand < end && strand->diameter != wire->bare_diameter)
    strand++;
  if (strand == end) {
    if (build->strand_count == sizeof build->strand / sizeof *build->strand)
      return;
    build->strand_count++;
    *strand = (bv_strand){wire->bare_diameter, HUGE_VAL, 0, 0};
  }
  strand->least = bv_least(strand->least, wire->insulated_diameter);
  if (wire->insulated_diameter > strand->most) {
    strand->most = wire->insulated_diameter;
    strand->strands = wire->strands;
  }
}

/* The ends of the catalogue's solid wires, and the strands it offers. */
static void survey_wires(bv_build *build) {
  build->solid_least = HUGE_VAL, build->solid_most = 0;
  for (size_t i = 0; i < build->parts->wire_count; i++) {
    const bv_wire *wire = &build->parts->wires[i];
    if (wire->strands > 1) {
      survey_stranded(build, wire);
      continue;
    }
    build->solid_least = bv_least(build->solid_least, wire->insulated_diameter);
    build->solid_most = bv_most(build->solid_most, wire->insulated_diameter);
  }
}

/* Inductance times peak current, V s, whose ramps take 0.8 of the shortest
 * period: at the highest supply and the target. */
static double expected_linkage(const bv_build *build) {
  double supply = build->job->supply_voltage.max;
  double reflected =
      bv_build_reflected(build, supply, build->job->target_voltage);
  double ramps = 0.8 / build->choice->max_frequency;
  double slopes = reflected > 0 ? 1 / supply + 1 / reflected : 1 / supply;
  return ramps / slopes;
}

/* Peak current with the overshoot of the turn-off delay. */
static double expected_peak(const bv_build *build) {
  const bv_job *job = build->job;
  double overshoot =
      job->supply_voltage.max * job->turn_off_delay / expected_linkage(build);
  return build->choice->peak_current * (1 + overshoot);
}

/* What the two share; the voltage and the conduction are to be filled in. */
static bv_stress stress_of(const bv_build *build, double current) {
  const bv_job *job = build->job;
  return (bv_stress){.current = current,
                     .voltage_derating = job->voltage_derating,
                     .current_derating = job->current_derating,
                     .sharing = 1};
}

/* Reverse voltage of one diode position at the target and a supply. */
static double position_voltage(const bv_build *build, double supply) {
  const bv_choice *choice = build->choice;
  double wound = build->job->target_voltage / bv_build_multiple(build);
  if (bv_build_stages(build) == 0)
    wound += build->ratio * supply;
  return wound / choice->sections;
}

/* Share of a cycle's energy that a diode more in series has to save, a
 * hundredth or two of what is usually lost: it takes room and has to be made to
 * share the voltage. */
static const double diode_worth = 2e-3;

static bv_reason take_diode(bv_build *build) {
  const bv_job *job = build->job;
  const bv_choice *choice = build->choice;
  bv_stress stress = stress_of(build, expected_peak(build) / build->ratio);
  stress.voltage = position_voltage(build, job->supply_voltage.max);
  stress.sharing = job->sharing_derating;
  stress.conduction = bv_build_mean_off(build, expected_linkage(build));
  double step = build->ratio / choice->sections;
  stress.swing = step * step * bv_build_swing_cost(build);
  stress.worth = diode_worth * expected_linkage(build) * choice->peak_current /
                 2 / choice->sections;
  build->series = choice->series_diodes;
  build->diode = choice->diode;
  if (!build->diode)
    build->diode =
        bv_diode_pick(build->parts->diodes, build->parts->diode_count, &stress,
                      &build->series);
  else if (!(build->series > 0))
    build->series = bv_diode_series(build->diode, &stress);
  if (!build->diode)
    return BV_REASON_NO_DIODE;
  build->position_drop = build->series * build->diode->forward_drop;
  return BV_REASON_OK;
}

static bv_reason take_switch(bv_build *build) {
  bv_stress stress = stress_of(build, expected_peak(build));
  stress.conduction =
      expected_linkage(build) / build->job->supply_voltage.nominal;
  return bv_build_switch(build, &stress);
}

typedef bv_reason step(bv_build *);

static bv_reason take_all(bv_build *build, step *const *steps, size_t count) {
  for (size_t i = 0; i < count; i++) {
    bv_reason reason = steps[i](build);
    if (reason != BV_REASON_OK)
      return reason;
  }
  return BV_REASON_OK;
}

bv_reason bv_build_ratings(bv_build *build) {
  step *const steps[] = {take_diode, take_switch};
  return take_all(build, steps, sizeof steps / sizeof *steps);
}

static bv_reason take_wires(bv_build *build) {
  survey_wires(build);
  bool given = build->choice->primary_wire && build->choice->secondary_wire;
  return build->parts->wire_count || given ? BV_REASON_OK : BV_REASON_NO_WIRE;
}

bv_reason bv_build_parts(bv_build *build) {
  step *const steps[] = {take_core, take_material, take_wires,
                         bv_build_ratings};
  const bv_job *job = build->job;
  build->ratio = build->choice->turns_ratio;
  build->sense_resistance = job->sense_voltage / build->choice->peak_current;
  build->bleeder_resistance =
      bv_bleeder_resistance(job->storage_capacitance, job->target_voltage,
                            job->safe_voltage, job->safe_time);
  return take_all(build, steps, sizeof steps / sizeof *steps);
}
