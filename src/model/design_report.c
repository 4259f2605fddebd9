/* SPDX-License-Identifier: MIT */
/* Stage "report": every result of a finished build by name; stresses,
 * insulation and safety in design_stress.c. */
#include <math.h>

#include "base/constants.h"
#include "model/copper.h"
#include "model/core.h"
#include "model/coreloss.h"
#include "model/design_build.h"
#include "model/design_echo.h"
#include "model/wire.h"

static double rms(double squared, double time) {
  return sqrt(squared / time);
}

static void report_charge(const bv_build *build, bv_design *d) {
  const bv_charge *charge = &build->nominal;
  const bv_job *job = build->job;
  bv_charge ideal;
  bv_charge_ideal(&d->circuit, &ideal);
  d->charge_time = charge->charge_time;
  d->charge_time_low_supply = build->low.charge_time;
  d->charge_time_ideal = ideal.charge_time;
  d->charge_duty =
      job->shots_per_second * (build->low.charge_time + job->hold_time);
  d->cycles = charge->cycles;
  d->on_time_start = charge->on_time_start;
  d->off_time_start = charge->off_time_start;
  d->frequency_start = charge->frequency_start;
  d->on_time_end = charge->on_time_end;
  d->off_time_end = charge->off_time_end;
  d->period_end = charge->period_end;
  d->dead_time =
      charge->period_end - charge->on_time_end - charge->off_time_end;
  d->frequency_end = charge->frequency_end;
  d->frequency_highest = build->high.frequency_end;
  d->timed_out_at_start = charge->timed_out_at_start;
  d->timed_out_cycles = charge->timed_out_cycles;
  d->timed_out_until = charge->timed_out_until;
  d->average_power = charge->average_power;
  d->power_ratio = charge->power_ratio;
  d->supply_current =
      charge->supply_energy / (d->circuit.supply_voltage * charge->charge_time);
  d->supply_current_end = build->low.supply_current_end;
  d->supply_power = job->shots_per_second * charge->supply_energy;
}

static void report_energy(const bv_build *build, bv_design *d) {
  const bv_charge *charge = &build->nominal;
  d->stored_energy = charge->stored_energy;
  d->supply_energy = charge->supply_energy;
  d->residual_energy = charge->residual_energy;
  d->efficiency = charge->efficiency;
  d->efficiency_power_stage = charge->efficiency_power_stage;
  d->loss_energy = charge->loss_energy;
#define LOSS(mechanism, meaning)                                               \
  d->loss_energy_##mechanism = charge->loss_energy_##mechanism;
  BV_LOSS_MAP(LOSS)
#undef LOSS
  d->loss_power = build->job->shots_per_second * charge->loss_energy;
}

/* Of a ramp from zero to the peak the capacitor gives what lies above the mean
 * of all cycles, Ipk ton/2 (1 - duty/2)^2: all of it at the start of a charge,
 * where the duty is next to nothing; most at the lowest supply, where the ramp
 * lasts longest. Where the off-time limit acts then, current flows on between
 * pulses; the whole ramp is that of the end. A doubler's largest recharge comes
 * on top, undamped. */
static double input_capacitance(const bv_build *build) {
  const bv_charge *low = &build->low;
  double on =
      low->timed_out_at_start > 0 ? low->on_time_end : low->on_time_start;
  double supply = build->job->supply_voltage.min;
  double pulse = low->primary_current_max * on / 2 +
                 bv_build_start(build, supply, low->primary_current_max).charge;
  return pulse / (0.02 * supply);
}

/* The switch takes its own side of the leakage to zero at once; the windings'
 * capacitance, from the highest supply where nothing is reflected yet, rings
 * after it. */
static void report_turn_on(const bv_build *build, bv_design *d) {
  double tau = sqrt(build->leakage * build->node_winding);
  double charge = build->node_winding * build->job->supply_voltage.max;
  d->turn_on_spike = tau > 0 ? charge / tau : 0;
  d->turn_on_blanking = BV_PI * tau;
}

static void report_currents(const bv_build *build, bv_design *d) {
  const bv_charge *charge = &build->nominal;
  double time = charge->charge_time;
  double rate = build->job->shots_per_second;
  d->primary_current_max = build->high.primary_current_max;
  bv_doubler_start start = bv_build_start(build, build->job->supply_voltage.max,
                                          build->high.primary_current_max);
  d->magnetising_current_max = start.magnetising;
  d->recharge_current_max = start.recharge;
  d->switch_current = d->primary_current_max + start.recharge;
  d->secondary_current_max =
      bv_most(d->magnetising_current_max, start.recharge) / build->ratio;
  d->primary_current_rms = rms(charge->primary_current_squared, time);
  d->secondary_current_rms = rms(charge->secondary_current_squared, time);
  d->primary_current_rms_heating = sqrt(charge->primary_current_squared * rate);
  d->secondary_current_rms_heating =
      sqrt(charge->secondary_current_squared * rate);
  d->input_capacitor_current =
      d->primary_current_rms * sqrt(bv_most(1 - build->supply_share, 0));
  d->input_capacitance = input_capacitance(build);
}

/* Area product by common practice: 5 A/mm2 over the shot period (one charge at
 * least a tenth of it) and copper in 0.3 of the window. */
static double area_product_needed(const bv_build *build, const bv_design *d) {
  double duty = bv_least(1, bv_most(0.1, build->job->shots_per_second *
                                             build->nominal.charge_time));
  double total =
      (d->primary_current_rms + build->ratio * d->secondary_current_rms) *
      sqrt(duty);
  return bv_core_area_product(build->inductance, d->primary_current_max, total,
                              build->flux_limit, 5e6, 0.3);
}

static void report_core(const bv_build *build, bv_design *d) {
  const bv_core *core = build->core;
  const bv_material *material = build->material;
  bv_field_copy_text(d->core, core->name);
  bv_field_copy_text(d->material, material->name);
  d->core_volume = core->effective_volume;
  d->core_mass = build->mass;
  d->primary_inductance = build->inductance;
  d->inductance_factor =
      build->inductance / (build->primary_turns * build->primary_turns);
  d->gap_length = build->gap;
  d->fringing_factor =
      bv_gap_fringing(build->gap, build->gap_core.area, build->gap_core.width);
  d->fringing_in_range = bv_gap_fringing_valid(build->gap, build->gap_core.area,
                                               build->gap_core.width);
  d->flux_density =
      bv_gap_flux_density(build->inductance, d->magnetising_current_max,
                          build->primary_turns, core->effective_area);
  d->flux_density_narrowest =
      d->flux_density * core->effective_area / build->narrowest;
  /* A core beyond its Curie temperature keeps a thousandth, so that the margin
   * stays a number that a search can climb away from. */
  d->saturation_flux_density =
      fmax(bv_core_saturation(material->saturation_flux_25,
                              material->saturation_flux_100,
                              d->hot_spot_temperature),
           material->saturation_flux_25 / 1000);
  d->flux_margin = 1 - d->flux_density_narrowest / d->saturation_flux_density;
  d->saturation_current = d->saturation_flux_density * build->narrowest *
                          build->primary_turns / build->inductance;
  d->area_product = core->effective_area * core->winding_area;
  d->area_product_needed = area_product_needed(build, d);
  double frequency = build->nominal.frequency_end;
  d->core_loss_density = build->nominal.core_power_end / core->effective_volume;
  d->frequency_in_loss_data =
      build->nominal.frequency_start >= material->lowest_frequency &&
      frequency <= material->highest_frequency;
}

#define REPORT_SIDE(WINDING)                                                   \
  static void report_##WINDING(const bv_build *build, bv_design *d) {          \
    const bv_side *side = &build->WINDING;                                     \
    double area = bv_wire_area(side->diameter) * side->strands;                \
    bv_field_copy_text(d->WINDING##_wire, side->wire ? side->wire->name : ""); \
    d->WINDING##_wire_diameter = side->diameter;                               \
    d->WINDING##_wire_outer = side->overall;                                   \
    d->WINDING##_strands = side->strands;                                      \
    d->WINDING##_turns_per_layer = side->part.turns_per_layer;                 \
    d->WINDING##_layers = side->stacks * side->part.layers;                    \
    d->WINDING##_wire_length = side->length;                                   \
    d->WINDING##_resistance_dc = side->resistance;                             \
    d->WINDING##_resistance_ac = side->resistance * side->factor;              \
    d->WINDING##_resistance_factor = side->factor;                             \
    d->WINDING##_current_density = d->WINDING##_current_rms_heating / area;    \
  }
REPORT_SIDE(primary)
REPORT_SIDE(secondary)

static double copper_volume(const bv_side *side) {
  return side->length * bv_wire_area(side->diameter) * side->strands;
}

/* Of a winding by a charge; no heat crosses the barrier so soon. Its loss, told
 * at the temperature where it begins, grows with the resistance on the way:
 * dT/dE = (1 + slope T)/(m c). Melted copper need not be told exactly. */
static double shot_rise(const bv_build *build, const bv_side *side,
                        double energy) {
  double mass = bv_most(copper_volume(side), 1e-12) * BV_COPPER_DENSITY;
  double steady = bv_thermal_adiabatic(energy, mass, BV_COPPER_HEAT_CAPACITY);
  double slope = BV_COPPER_RESISTIVITY * BV_COPPER_COEFFICIENT /
                 bv_copper_resistivity(build->temperature);
  return expm1(bv_least(slope * steady, 5)) / slope;
}

static void report_windings(const bv_build *build, bv_design *d) {
  report_primary(build, d);
  report_secondary(build, d);
  double copper =
      copper_volume(&build->primary) + copper_volume(&build->secondary);
  d->primary_turns = build->primary_turns;
  d->section_turns = build->section_turns;
  d->secondary_turns = build->section_turns * build->choice->sections;
  d->turns_ratio_built = build->ratio;
  d->skin_depth =
      bv_copper_skin_depth(build->nominal.frequency_end, build->temperature);
  d->copper_mass = copper * BV_COPPER_DENSITY;
  d->copper_fill =
      copper / (build->core->winding_area * build->bobbin.mean_turn);
  d->chambers_empty =
      bv_most(0, build->choice->chambers -
                     build->secondary.chambers * build->choice->sections);
  d->winding_width = build->width;
  d->winding_build =
      build->primary.build + build->secondary.build + bv_build_barriers(build);
  d->window_build = build->bobbin.height;
  d->window_fill = d->winding_build / d->window_build;
  d->margin = build->margin;
  d->barrier_thickness = build->barrier;
  d->section_insulation = build->secondary.gap;
  d->section_voltage = build->job->target_voltage / build->choice->sections;
  d->section_gap_voltage = bv_build_gap_voltage(build);
  d->turn_voltage = bv_build_section_voltage(build) / build->section_turns;
  d->layer_voltage =
      bv_build_layer_voltage(build, build->secondary.part.layers);
  double copper_width =
      build->secondary.diameter * sqrt(build->secondary.strands);
  double enamels = bv_most(build->secondary.overall - copper_width, 1e-6);
  double between = build->choice->layer_insulation + enamels;
  d->layer_field = d->layer_voltage / between;
  d->layer_field_limit = bv_solid_field_high_frequency(between);
}

static void report_parasitics(const bv_build *build, bv_design *d) {
  d->leakage_inductance = build->leakage;
  d->leakage_ratio = build->leakage / build->inductance;
  d->winding_capacitance = build->winding_capacitance;
  d->winding_capacitance_reflected = build->winding_reflected;
  d->self_resonance =
      1 / (2 * BV_PI * sqrt(build->inductance * build->winding_reflected));
  d->node_capacitance = build->node_capacitance;
}

static void report_heat(const bv_build *build, bv_design *d) {
  bv_heat heat = bv_build_heat(build, &build->low, &build->nominal,
                               build->whole_high ? &build->high : NULL);
  const bv_charge *charge = heat.wound_charge;
  bv_thermal_load load = bv_build_load(build, charge);
  d->copper_power = load.copper;
  d->core_power = load.core;
  d->surface_area = build->surface;
  d->single_shot_rise = bv_most(
      shot_rise(build, &build->primary, charge->loss_energy_primary),
      shot_rise(build, &build->secondary, charge->loss_energy_secondary));
  d->core_shot_rise = bv_thermal_adiabatic(
      charge->loss_energy_core, build->mass, BV_FERRITE_HEAT_CAPACITY);
  d->temperature_rise = heat.wound - build->job->ambient_temperature;
  d->hot_spot_temperature =
      heat.wound + bv_most(d->single_shot_rise, d->core_shot_rise);
  d->switch_temperature = heat.junction;
  d->switch_power =
      build->job->shots_per_second * (heat.switch_charge->loss_energy_switch +
                                      heat.switch_charge->loss_energy_overlap +
                                      heat.switch_charge->loss_energy_turn_on);
}

void bv_build_report(const bv_build *build, bv_design *d) {
  d->reason = BV_REASON_OK;
  d->impossibility = 0;
  d->mixed = false;
  bv_build_circuit(build, build->job->supply_voltage.nominal, &d->circuit);
  report_charge(build, d);
  report_energy(build, d);
  report_currents(build, d);
  report_turn_on(build, d);
  report_windings(build, d);
  report_heat(build, d);
  report_core(build, d);
  report_parasitics(build, d);
  bv_build_report_stress(build, d);
  bv_design_echo(build->job, build->choice, d);
}
