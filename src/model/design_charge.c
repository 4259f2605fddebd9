/* SPDX-License-Identifier: MIT */
/* Stages "resistance" and "charge": the circuit of what was built, its charge
 * at the lowest, nominal and highest supply, and the temperatures that losses
 * and shot rate bring.
 *
 * Temperature, in an ordered computation: four cycles of the charge at the
 * lowest and at the nominal supply give losses, whose balance with the cooling
 * (thermal.h) gives the temperature at which the charges run; the balance of
 * the charges themselves is what the report tells. In 95 of 100 designs the two
 * differ by less than 7 % of the rise (a test holds this), a fraction of a per
 * cent of the resistance. The hotter of the two supplies counts: copper loses
 * most at the lowest, the core at the highest, whose rise was at most 8 % above
 * that of the two in 400 random designs. */
#include <math.h>

#include "base/constants.h"
#include "base/quadrature.h"
#include "model/charge_result.h"
#include "model/copper.h"
#include "model/coreloss.h"
#include "model/design_build.h"
#include "model/doubler_ladder.h"
#include "model/safety.h"
#include "model/thermal.h"
#include "model/windingloss.h"
#include "model/wire.h"

/* Wall of the bobbin between the centre leg and the first layer, common
 * practice. */
static const double bobbin_wall = 1e-3;

static bv_eddy_winding eddy_winding(const bv_side *side) {
  return (bv_eddy_winding){
      side->diameter, side->strands, side->part.pitch,
      bv_most(side->stacks * side->part.filled_layers, 1e-3), side->build};
}

static double resistance_at(const bv_side *side, double temperature) {
  double area = bv_wire_area(side->diameter) * side->strands;
  return bv_copper_resistance(side->length, area, temperature);
}

/* Time in which the clamp drives the leakage's current to zero, at the target.
 */
static double commutation(const bv_build *build) {
  double supply = build->job->supply_voltage.nominal;
  double reflected =
      bv_build_reflected(build, supply, build->job->target_voltage);
  return bv_build_clamp(build, supply, reflected, build->choice->peak_current)
      .time;
}

/* The charge's currents, from its cycle at the target. */
static bv_flyback_charge eddy_charge(const bv_build *build) {
  const bv_job *job = build->job;
  bv_end_cycle end = bv_build_cycle(build, job->supply_voltage.nominal,
                                    build->inductance, job->target_voltage);
  return (bv_flyback_charge){.rise = end.on,
                             .fall_end = end.off,
                             .dead = end.period - end.on - end.off,
                             .start = job->start_voltage / job->target_voltage,
                             .commutation = commutation(build)};
}

void bv_build_resistance(bv_build *build) {
  bv_flyback_charge charge = eddy_charge(build);
  bv_eddy_stack stack = {.primary = eddy_winding(&build->primary),
                         .secondary = eddy_winding(&build->secondary),
                         .interleaved = build->choice->interleaved,
                         .gap_share = 1,
                         .resistivity =
                             bv_copper_resistivity(build->temperature),
                         .width = build->bobbin.width,
                         .breadth = build->width,
                         .floor = bobbin_wall,
                         .barrier = build->barrier};
  bv_eddy_factors factors = bv_winding_eddy_charge(&stack, &charge);
  build->primary.factor = factors.primary;
  build->secondary.factor = factors.secondary;
  build->primary.resistance =
      resistance_at(&build->primary, build->temperature);
  build->secondary.resistance =
      resistance_at(&build->secondary, build->temperature);
}

/* The doubler's series capacitor, or that of a ladder as a doubler: its
 * recharge pulse, half a period of the leakage with it, takes half the on-time
 * at the highest supply, and rings at half the critical damping at most. */
static double series_capacitance(const bv_build *build) {
  double stages = bv_build_stages(build);
  if (stages == 0)
    return 0;
  if (build->choice->series_capacitance > 0)
    return build->choice->series_capacitance / build->choice->sections;
  bv_circuit c;
  bv_build_circuit(build, build->job->supply_voltage.max, &c);
  double on = bv_build_cycle(build, c.supply_voltage, build->inductance,
                             c.target_voltage)
                  .on;
  double n2 = build->ratio * build->ratio, leakage = n2 * build->leakage;
  double resistance = c.secondary_resistance + c.sections * c.diode_resistance +
                      n2 * (c.supply_resistance + c.switch_resistance +
                            c.primary_resistance + c.sense_resistance);
  double pulse = 0.5 * on / BV_PI;
  return bv_least(pulse * pulse / leakage,
                  leakage / (resistance * resistance)) *
         build->series_share * bv_ladder_drop_factor(stages) /
         (stages * stages);
}

void bv_build_series(bv_build *build) {
  build->series_capacitance = series_capacitance(build);
}

bv_steinmetz bv_build_core_fit(const bv_build *build) {
  const bv_material *m = build->material;
  double hot = bv_least(build->temperature, BV_FERRITE_HOTTEST);
  double factor = bv_core_loss_temperature(m->loss_temperature_linear,
                                           m->loss_temperature_square,
                                           m->reference_temperature, hot);
  return (bv_steinmetz){m->steinmetz_k * factor, m->steinmetz_alpha,
                        m->steinmetz_beta};
}

static void fill_core(const bv_build *build, bv_circuit *circuit) {
  bv_steinmetz fit = bv_build_core_fit(build);
  circuit->core_volume = build->core->effective_volume;
  circuit->core_area = build->core->effective_area;
  circuit->primary_turns = build->primary_turns;
  circuit->steinmetz_k = fit.k;
  circuit->steinmetz_alpha = fit.alpha;
  circuit->steinmetz_beta = fit.beta;
}

static void fill_parts(const bv_build *build, bv_circuit *circuit) {
  const bv_switch *power_switch = build->power_switch;
  circuit->switch_resistance = bv_build_switch_resistance(build);
  circuit->current_fall_time = power_switch->current_fall_time;
  circuit->switch_capacitance = power_switch->output_capacitance;
  circuit->gate_charge = power_switch->gate_charge;
  circuit->gate_voltage = power_switch->gate_voltage;
  circuit->diode_drop = build->position_drop;
  circuit->recovery_time = build->diode->recovery_time;
  circuit->diode_resistance = build->series * build->diode->dynamic_resistance;
}

void bv_build_circuit(const bv_build *build, double supply,
                      bv_circuit *circuit) {
  const bv_job *job = build->job;
  *circuit = (bv_circuit){
      .supply_voltage = supply,
      .target_voltage = job->target_voltage,
      .start_voltage = job->start_voltage,
      .storage_capacitance = job->storage_capacitance,
      .primary_inductance = build->inductance,
      .turns_ratio = build->ratio,
      .peak_current = build->choice->peak_current,
      .sections = build->choice->sections,
      .rectifier = build->choice->rectifier,
      .stages = bv_build_multiple(build),
      .series_capacitance = build->series_capacitance,
      .supply_resistance = build->supply_share * job->supply_resistance,
      .primary_resistance = build->primary.resistance * build->primary.factor,
      .sense_resistance = build->sense_resistance,
      .secondary_resistance =
          build->secondary.resistance * build->secondary.factor,
      .capacitor_resistance = job->capacitor_resistance,
      .bleeder_resistance = build->bleeder_resistance,
      .leakage_inductance = build->leakage,
      .clamp_voltage = build->clamp_voltage,
      .node_capacitance = build->node_capacitance,
      .node_capacitance_winding = build->node_winding,
      .turn_off_delay = job->turn_off_delay,
      .turn_on_delay = job->turn_on_delay,
      .off_time_limit = job->off_time_limit,
      .max_frequency = HUGE_VAL,
      .comparator_blanking = HUGE_VAL};
  fill_parts(build, circuit);
  fill_core(build, circuit);
}

static bv_reason charge_at(const bv_build *build, double supply,
                           bv_charge *charge) {
  bv_circuit circuit;
  bv_build_circuit(build, supply, &circuit);
  bv_charge_envelope(&circuit, charge);
  return (bv_reason) charge->reason;
}

bv_reason bv_build_try_charge(const bv_build *build, bv_charge *charge) {
  bv_build now = *build;
  bv_build_resistance(&now);
  bv_build_series(&now);
  return charge_at(&now, build->job->supply_voltage.nominal, charge);
}

/* Stresses and frequency at the target and a supply. The first cycles tell the
 * overshoot of the current that an off-time limit makes. */
static bv_reason stress_at(const bv_build *build, double supply,
                           bv_charge *charge) {
  bv_circuit circuit;
  bv_stage stage;
  bv_cycle cycle;
  bv_build_circuit(build, supply, &circuit);
  if (circuit.off_time_limit < HUGE_VAL || circuit.rectifier != BV_SINGLE) {
    bv_charge_envelope(&circuit, charge);
    return (bv_reason) charge->reason;
  }
  bv_reason reason = bv_stage_make(&circuit, &stage);
  if (reason == BV_REASON_OK)
    reason = bv_cycle_at(&stage, circuit.target_voltage, &cycle);
  if (reason != BV_REASON_OK)
    return reason;
  bv_charge_set_end(&circuit, charge, &cycle);
  charge->primary_current_max = cycle.peak_current;
  charge->recharge_current_max = cycle.recharge_peak;
  return BV_REASON_OK;
}

bv_thermal_load bv_build_load(const bv_build *build, const bv_charge *charge) {
  double rate = build->job->shots_per_second;
  const bv_material *material = build->material;
  return (bv_thermal_load){.copper = rate * (charge->loss_energy_primary +
                                             charge->loss_energy_secondary),
                           .core = rate * charge->loss_energy_core,
                           .reference = build->temperature,
                           .core_curve = {material->reference_temperature,
                                          material->loss_temperature_linear,
                                          material->loss_temperature_square},
                           .surface = build->surface,
                           .ambient = build->job->ambient_temperature};
}

double bv_build_pace(const bv_build *build, const bv_charge *charge) {
  double rate = build->job->shots_per_second, length = charge->charge_time;
  double period = rate > 0 ? 1 / rate : HUGE_VAL;
  return bv_thermal_pulse(length, period, BV_PACKAGE_TIME) / length;
}

double bv_build_junction(const bv_build *build, const bv_charge *charge) {
  const bv_switch *part = build->power_switch;
  double rate = bv_build_pace(build, charge);
  double warm =
      1 + part->resistance_coefficient * (build->switch_temperature - 25);
  double conduction = rate * charge->loss_energy_switch / warm;
  double other =
      rate * (charge->loss_energy_overlap + charge->loss_energy_turn_on);
  return bv_thermal_junction(
      conduction, part->resistance_coefficient, part->thermal_resistance,
      build->job->ambient_temperature + other * part->thermal_resistance);
}

/* A charge's amounts from four of its cycles, by Gauss-Legendre quadrature over
 * the output, at a fraction of the envelope's cost; and the integral, A² s, of
 * the squared mean current of each. Over the energy a doubler's first cycles,
 * which recharge most, would be passed over. */
static bv_reason rough_flow(const bv_stage *s, double start, bv_flow *sum,
                            double *steady) {
  enum { POINTS = 4 };
  bv_quadrature rule = bv_quadrature_rule(POINTS);
  double half = (s->target - start) / 2;
  double outputs[POINTS];
  bv_cycle cycles[POINTS];
  size_t done;
  for (size_t i = 0; i < POINTS; i++)
    outputs[i] = start + half * (1 + rule.nodes[i]);
  bv_reason reason = bv_cycle_each(s, POINTS, outputs, NULL, cycles, &done);
  for (size_t i = 0; i < done; i++) {
    const bv_flow *flow = &cycles[i].flow;
    double gain = flow->output_charge - outputs[i] * s->bleed * flow->time;
    gain = bv_most(gain, 0.01 * flow->output_charge);
    double cycles_of = s->c * half * rule.weights[i] / gain;
    bv_flow_add(sum, cycles_of, flow);
    *steady +=
        cycles_of * flow->primary_charge * flow->primary_charge / flow->time;
  }
  return reason;
}

/* Also gives the share of the supply's resistance that counts. */
static bv_reason rough_losses(const bv_build *build, double supply,
                              bv_charge *charge, double *share) {
  bv_circuit c;
  bv_stage stage;
  bv_flow sum = {0};
  double steady = 0;
  bv_build_circuit(build, supply, &c);
  c = bv_ladder_as_doubler(&c);
  bv_reason reason = bv_stage_make(&c, &stage);
  if (reason == BV_REASON_OK)
    reason = rough_flow(&stage, c.start_voltage, &sum, &steady);
  *share = steady / sum.primary_square;
  charge->charge_time = sum.time;
  charge->loss_energy_primary = c.primary_resistance * sum.primary_square;
  charge->loss_energy_switch = c.switch_resistance * sum.primary_square;
  charge->loss_energy_secondary =
      c.secondary_resistance * (sum.output_square + sum.recharge_square);
  charge->loss_energy_overlap = sum.overlap;
  charge->loss_energy_turn_on = sum.turn_on;
  charge->loss_energy_core = sum.core;
  return reason;
}

static void take_hotter_switch(const bv_build *build, const bv_charge *charge,
                               bv_heat *heat) {
  double junction = bv_build_junction(build, charge);
  if (heat->switch_charge && !(junction > heat->junction))
    return;
  heat->switch_charge = charge;
  heat->junction = junction;
}

bv_heat bv_build_heat(const bv_build *build, const bv_charge *low,
                      const bv_charge *nominal, const bv_charge *high) {
  bv_heat heat = {0};
  bv_thermal_load slow = bv_build_load(build, low);
  bv_thermal_load usual = bv_build_load(build, nominal);
  double slow_balance = bv_thermal_balance(&slow);
  double usual_balance = bv_thermal_balance(&usual);
  bool slow_hotter = slow_balance > usual_balance;
  heat.wound_charge = slow_hotter ? low : nominal;
  heat.wound = slow_hotter ? slow_balance : usual_balance;
  take_hotter_switch(build, nominal, &heat);
  take_hotter_switch(build, low, &heat);
  if (high)
    take_hotter_switch(build, high, &heat);
  return heat;
}

/* Whether the highest supply may heat the switch most. What turn-on costs goes
 * as the supply's fourth power where a charge passes from a node that stays up
 * to one that rings down (charge.h, closed form), turn-off as less. */
static bool heats_when_high(const bv_build *build, const bv_charge *low,
                            const bv_charge *nominal) {
  const bv_supply *supply = &build->job->supply_voltage;
  double more = pow(supply->max / supply->nominal, 4);
  double switching =
      nominal->loss_energy_overlap + nominal->loss_energy_turn_on;
  double slow = low->loss_energy_switch + low->loss_energy_overlap +
                low->loss_energy_turn_on;
  return nominal->loss_energy_switch + more * switching >
         bv_most(slow, nominal->loss_energy_switch + switching) * (1 + 1e-9);
}

/* Whether a rough charge heats the switch within 10 % of a junction's
 * rise. */
static bool nears(const bv_build *build, const bv_charge *charge,
                  double junction) {
  double ambient = build->job->ambient_temperature;
  return bv_build_junction(build, charge) - ambient >
         0.9 * (junction - ambient);
}

/* Temperatures at which the charges run. */
static bv_reason warm_up(bv_build *build) {
  const bv_supply *supply = &build->job->supply_voltage;
  bv_charge nominal, low, high;
  double share, other;
  build->supply_share = 1;
  bv_reason reason = rough_losses(build, supply->nominal, &nominal, &share);
  if (reason != BV_REASON_OK)
    return reason;
  build->supply_share = share;
  if (build->job->supply_resistance > 0)
    reason = rough_losses(build, supply->nominal, &nominal, &other);
  if (reason != BV_REASON_OK)
    return reason;
  low = high = nominal;
  if (supply->min < supply->nominal)
    reason = rough_losses(build, supply->min, &low, &other);
  if (reason != BV_REASON_OK)
    return reason;
  build->whole_high =
      supply->max > supply->nominal && heats_when_high(build, &low, &nominal) &&
      rough_losses(build, supply->max, &high, &other) == BV_REASON_OK;
  bv_heat heat =
      bv_build_heat(build, &low, &nominal, build->whole_high ? &high : NULL);
  if (build->whole_high)
    build->whole_high = nears(build, &high, heat.junction);
  build->switch_temperature = heat.junction;
  if (!(build->job->shots_per_second > 0))
    return BV_REASON_OK;
  build->temperature = heat.wound;
  bv_build_resistance(build);
  return BV_REASON_OK;
}

bv_reason bv_build_charge(bv_build *build) {
  const bv_supply *supply = &build->job->supply_voltage;
  bv_reason reason = warm_up(build);
  if (reason == BV_REASON_OK)
    reason = charge_at(build, supply->nominal, &build->nominal);
  build->low = build->nominal;
  if (reason == BV_REASON_OK && supply->min < supply->nominal)
    reason = charge_at(build, supply->min, &build->low);
  if (reason != BV_REASON_OK)
    return reason;
  build->whole_high =
      build->whole_high &&
      charge_at(build, supply->max, &build->high) == BV_REASON_OK;
  return build->whole_high ? BV_REASON_OK
                           : stress_at(build, supply->max, &build->high);
}
