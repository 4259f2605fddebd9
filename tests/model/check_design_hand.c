/* SPDX-License-Identifier: MIT */
/* What a design tells, worked out again by hand from what else it tells and
 * from the catalogue: textbook formulas, written out here. */
#include "check_main.h"
#include "model/design_support.h"

#define MU0 1.25663706e-6
#define PI 3.14159265358979

typedef void by_hand(const bv_job *job, const bv_choice *choice,
                     const bv_design *d);

/* Designs of one supply, so that all is told of the same charge. */
static void for_designs(uint64_t seed, int rectifier, by_hand *check) {
  bv_random random = bv_random_keyed(seed, 0, 0);
  int made = 0;
  for (int i = 0; i < 400 && made < 40; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    double supply = job.supply_voltage.nominal;
    job.supply_voltage = (bv_supply){supply, supply, supply};
    choice.rectifier = rectifier;
    job.hold_time = 0.1 / job.shots_per_second;
    if (rectifier != BV_SINGLE)
      choice.turns_ratio = 0.3 * job.target_voltage / supply;
    bv_design d = design_make(&job, &choice, BV_BUILDABLE);
    if (d.reason != BV_REASON_OK || !(d.window_fill < 1))
      continue;
    check(&job, &choice, &d);
    made++;
  }
  ck_assert_int_ge(made, 20);
}

static void magnetics(const bv_job *job, const bv_choice *choice,
                      const bv_design *d) {
  const bv_core *core = choice->core;
  const bv_material *material = shelf_open()->materials.data;
  double turns = d->primary_turns, gap = d->gap_length;
  double area = core->effective_area, root = sqrt(area);
  (void) job;
  while (strcmp(material->name, d->material) != 0)
    material++;
  double width = core->winding_width > 0 ? core->winding_width
                                         : sqrt(3.5 * core->winding_area);
  double fringing = gap > 0 ? 1 + gap / root * log(2 * width / gap) : 1;
  double reluctance =
      core->effective_length / (MU0 * material->relative_permeability * area) +
      gap / (MU0 * area * fringing);
  check_close(d->fringing_factor, fringing, 1e-6);
  check_close(d->primary_inductance, turns * turns / reluctance, 1e-6);
  check_close(d->inductance_factor, 1 / reluctance, 1e-6);
  ck_assert((d->fringing_in_range != 0) ==
            (gap <= 0.2 * root && gap <= 0.1 * width));
  double flux =
      d->primary_inductance * d->magnetising_current_max / (turns * area);
  check_close(d->flux_density, flux, 1e-9);
  check_close(d->flux_margin,
              1 - d->flux_density_narrowest / d->saturation_flux_density, 1e-9);
  check_close(d->saturation_current,
              d->magnetising_current_max * d->saturation_flux_density /
                  d->flux_density_narrowest,
              1e-9);
  /* What the bench finds at the primary: its own capacitance, too. */
  check_close(
      d->self_resonance,
      1 / (2 * PI *
           sqrt(d->primary_inductance * d->winding_capacitance_reflected)),
      1e-6);
}

START_TEST(core_and_gap) {
  for_designs(51, BV_SINGLE, magnetics);
}
END_TEST

/* Width of the secondary over the chambers' in which it is. */
static double wound_share(const bv_choice *choice) {
  double whole = floor(choice->chambers / choice->sections);
  double used = whole > 0 ? whole * choice->sections : choice->chambers;
  return used / choice->chambers;
}

/* mu0 N² MLT/(k² b) (sum of heights/3 + sum of insulation). */
static void windings(const bv_job *job, const bv_choice *choice,
                     const bv_design *d) {
  double turns = d->primary_turns, faces = choice->interleaved ? 2 : 1;
  double mean = (d->primary_wire_length / turns +
                 d->secondary_wire_length / d->secondary_turns) /
                2;
  double heights = d->winding_build - 2 * d->barrier_thickness;
  double leakage = MU0 * turns * turns * mean /
                   (faces * faces * d->winding_width * wound_share(choice)) *
                   (heights / 3 + faces * d->barrier_thickness);
  double first = PI / 4 * d->primary_strands * d->primary_wire_diameter *
                 d->primary_wire_diameter,
         second = PI / 4 * d->secondary_strands * d->secondary_wire_diameter *
                  d->secondary_wire_diameter;
  double copper =
      d->primary_wire_length * first + d->secondary_wire_length * second;
  check_close(d->leakage_inductance, leakage, 1e-6);
  check_close(d->copper_mass, 8960 * copper, 2e-3);
  check_close(d->primary_current_density,
              d->primary_current_rms *
                  sqrt(job->shots_per_second * d->charge_time) / first,
              1e-6);
  check_close(d->secondary_current_density,
              d->secondary_current_rms *
                  sqrt(job->shots_per_second * d->charge_time) / second,
              1e-6);
  check_close(d->window_fill, d->winding_build / d->window_build, 1e-9);
  double warm = job->ambient_temperature + d->temperature_rise;
  double cold = d->primary_wire_length / first / 58e6;
  if (d->temperature_rise < 60)
    check_close(d->primary_resistance_dc, cold * (1 + 0.00393 * (warm - 20)),
                0.06); /* by the temperature of the first four cycles */
}

START_TEST(windings_and_leakage) {
  for_designs(52, BV_SINGLE, windings);
  for_designs(53, BV_DOUBLER, windings);
}
END_TEST

static void powers(const bv_job *job, const bv_choice *choice,
                   const bv_design *d) {
  double rms = d->primary_current_rms, mean = d->supply_current;
  double rate = job->shots_per_second, time = d->charge_time;
  double each = d->gate_charge * d->gate_voltage;
  check_close(d->sense_resistance, job->sense_voltage / choice->peak_current,
              1e-9);
  check_close(d->sense_power, d->sense_resistance * rms * rms, 1e-6);
  check_close(d->gate_power, d->frequency_end * each, 1e-6);
  check_close(d->loss_energy_gate, each * d->cycles, 1e-9 + 2 / d->cycles);
  /* The clamp's resistor takes at its level what comes, pulse by pulse. */
  double level = d->clamp_voltage, rating = d->clamp_power_rating;
  check_close(level * level / d->clamp_resistance, rating, 1e-9);
  check_close(0.05 * level * level * d->clamp_capacitance * d->frequency_end,
              rating, 1e-6);
  /* The capacitor carries what the supply does not. */
  double supply = d->loss_energy_supply / job->supply_resistance / time;
  check_close(d->input_capacitor_current, sqrt(rms * rms - supply), 1e-6);
  ck_assert_double_gt(supply, 0.85 * mean * mean); /* by four cycles */
  check_close(d->supply_power, rate * d->supply_energy, 1e-9);
  check_close(d->loss_power, rate * d->loss_energy, 1e-9);
  check_close(d->supply_energy, mean * d->supply_voltage * time, 1e-9);
  check_close(d->charge_duty, rate * (time + job->hold_time), 1e-9);
  check_close(d->loss_energy_primary,
              d->primary_resistance_ac * rms * rms * time, 1e-6);
  check_close(d->loss_energy_secondary,
              d->secondary_resistance_ac * d->secondary_current_rms *
                  d->secondary_current_rms * time,
              1e-6);
}

START_TEST(powers_of_the_parts) {
  for_designs(54, BV_SINGLE, powers);
  for_designs(55, BV_DOUBLER, powers);
}
END_TEST

/* A charged capacitance and an inductance, switched together: its whole energy
 * in the inductance a quarter of a period later. */
static void turn_on(const bv_job *job, const bv_choice *choice,
                    const bv_design *d) {
  double v = job->supply_voltage.max, c = d->node_capacitance_winding;
  double l = d->leakage_inductance, current = d->turn_on_spike;
  (void) choice;
  check_close(l * current * current, c * v * v, 1e-9);
  double rate = PI / d->turn_on_blanking;
  check_close(rate * rate * l * c, 1, 1e-9);
}

START_TEST(a_spike_at_turn_on) {
  for_designs(60, BV_SINGLE, turn_on);
  for_designs(61, BV_DOUBLER, turn_on);
}
END_TEST

/* Still air by McLyman: 450 (W/cm²)^0.826; ferrite 750 J/(kg K); one time
 * constant of 30 s for a package. */
static void heat(const bv_job *job, const bv_choice *choice,
                 const bv_design *d) {
  double flux = (d->copper_power + d->core_power) / (d->surface_area * 1e4);
  double rise = 450 * pow(flux, 0.826);
  const bv_diode *diode = shelf_open()->diodes.data;
  (void) choice;
  while (strcmp(diode->name, d->diode) != 0)
    diode++;
  if (d->temperature_rise < 60)
    check_close(d->temperature_rise, rise, 0.05);
  check_close(d->core_shot_rise, d->loss_energy_core / (d->core_mass * 750),
              1e-6);
  double most = fmax(d->core_shot_rise, d->single_shot_rise);
  check_close(d->hot_spot_temperature,
              job->ambient_temperature + d->temperature_rise + most, 1e-9);
  double lost = d->loss_energy_diode + d->loss_energy_recovery;
  double power = lost / d->diodes / d->charge_time;
  double period = fmax(1 / job->shots_per_second, d->charge_time);
  double duty = d->charge_time / period;
  double share = duty +
                 (1 - duty) * sqrt(tanh((d->charge_time + period) / 30)) +
                 sqrt(tanh(d->charge_time / 30)) - sqrt(tanh(period / 30));
  check_close(d->diode_temperature,
              job->ambient_temperature +
                  diode->thermal_resistance * power * share,
              1e-6);
}

START_TEST(temperatures) {
  for_designs(56, BV_SINGLE, heat);
  for_designs(57, BV_DOUBLER, heat);
}
END_TEST

/* Stresses, bleeder, stop and open output. */
static void limits(const bv_job *job, const bv_choice *choice,
                   const bv_design *d) {
  double v = job->target_voltage, c = job->storage_capacitance;
  double n = d->turns_ratio_built, m = choice->sections;
  double supply = d->supply_voltage, rc = d->bleeder_resistance * c;
  bool doubles = choice->rectifier == BV_DOUBLER;
  double drops = m * d->diode_drop, reflected = (v + drops) / n;
  if (doubles)
    reflected -= supply;
  check_close(d->reflected_voltage, reflected, 1e-9);
  check_close(d->clamp_voltage, choice->clamp_ratio * reflected, 1e-9);
  check_close(d->switch_voltage, supply + d->clamp_voltage, 1e-9);
  check_close(d->diode_voltage,
              doubles ? v / m + d->diode_drop : (v + n * supply) / m, 1e-9);
  check_close(d->section_gap_voltage, (v + n * supply) / m, 1e-9);
  double between = d->layer_voltage / d->layer_field * 1e3; /* mm */
  if (between > 0.03 && between < 0.75)
    check_close(d->layer_field_limit, (0.25 / between + 1.667) * 1e6, 1e-3);
  check_close(d->bleeder_power, v * v / d->bleeder_resistance, 1e-9);
  check_close(rc * log(v / job->safe_voltage), job->safe_time, 1e-9);
  check_close(d->safe_time, job->safe_time, 1e-9);
  check_close(d->voltage_at_shot, v * exp(-job->hold_time / rc), 1e-9);
  check_close(d->voltage_after_period,
              v * exp(-1 / (job->shots_per_second * rc)), 1e-9);
  double energy = d->average_power / d->power_ratio * d->period_end;
  check_close(d->stop_step, sqrt(v * v + 2 * energy / c) - v, 1e-6);
  double open = d->clamp_voltage + (doubles ? supply : 0);
  check_close(d->open_output_voltage, open * n, 1e-9);
  double plateau = (v + drops) * (1 - d->leakage_ratio / 2) / n;
  check_close(d->sensed_voltage, plateau - (doubles ? supply : 0), 1e-9);
  ck_assert(d->sensed_window < d->off_time_end);
}

START_TEST(stresses_safety_and_sensing) {
  for_designs(58, BV_SINGLE, limits);
  for_designs(59, BV_DOUBLER, limits);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {core_and_gap,
                                windings_and_leakage,
                                powers_of_the_parts,
                                a_spike_at_turn_on,
                                temperatures,
                                stresses_safety_and_sensing,
                                NULL};
  return check_main("design_hand", tests);
}
