/* SPDX-License-Identifier: MIT */
#include "charge_examples.h"

#include <math.h>

#include "base/random.h"

static double between(bv_random *random, double lo, double hi) {
  return lo * pow(hi / lo, bv_random_unit(random));
}

/* Resistances that drop a share of the supply or of the target. */
static void set_resistances(bv_circuit *c, bv_random *random) {
  double primary = c->supply_voltage / c->peak_current;
  double secondary = c->target_voltage * c->turns_ratio / c->peak_current;
  c->supply_resistance = primary * between(random, 0.002, 0.02);
  c->switch_resistance = primary * between(random, 0.002, 0.02);
  c->primary_resistance = primary * between(random, 0.002, 0.02);
  c->sense_resistance = primary * between(random, 0.002, 0.02);
  c->secondary_resistance = secondary * between(random, 0.003, 0.03);
  c->diode_resistance = secondary * between(random, 3e-4, 3e-3) / c->sections;
  c->capacitor_resistance = secondary * between(random, 1e-5, 1e-3);
  c->diode_drop = between(random, 0.8, 2.2);
}

/* Capacitance whose ring takes a share of the on-time, leakage of a percent. */
static void set_switch(bv_circuit *c, bv_random *random) {
  double on = c->primary_inductance * c->peak_current / c->supply_voltage;
  double reflected = c->target_voltage / c->turns_ratio;
  double ring =
      on * between(random, 0.02, 0.2) * fmin(1, c->supply_voltage / reflected);
  c->node_capacitance = ring * ring / c->primary_inductance;
  c->leakage_inductance = c->primary_inductance * between(random, 0.004, 0.02);
  c->clamp_voltage = reflected * between(random, 1.4, 2.5);
  c->turn_off_delay = on * between(random, 0.003, 0.03);
  c->turn_on_delay = on * between(random, 0.003, 0.06);
  c->current_fall_time = on * between(random, 0.002, 0.01);
  c->gate_charge = between(random, 1e-8, 2e-7);
  c->gate_voltage = 10;
}

/* Of a size for its energy: gapped power ferrite takes some 100 J/m3. */
static void set_core(bv_circuit *c, bv_random *random) {
  double energy = c->primary_inductance * c->peak_current * c->peak_current / 2;
  c->core_volume = between(random, 0.5, 2) * energy / 100;
  c->core_area = pow(c->core_volume, 2.0 / 3) / 3;
  c->primary_turns = ceil(c->primary_inductance * c->peak_current /
                          (between(random, 0.15, 0.3) * c->core_area));
  c->steinmetz_k = between(random, 0.4, 1.2);
  c->steinmetz_alpha = between(random, 1.3, 1.6);
  c->steinmetz_beta = between(random, 2.2, 2.7);
}

static bv_circuit base(bv_random *random, double cycles) {
  bv_circuit c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = between(random, 5, 400);
  c.target_voltage = c.supply_voltage * between(random, 3, 100);
  c.turns_ratio =
      c.target_voltage / c.supply_voltage * between(random, 0.2, 1.2);
  c.peak_current = between(random, 1, 40);
  double on = between(random, 1e-6, 3e-5);
  c.primary_inductance = on * c.supply_voltage / c.peak_current;
  c.storage_capacitance = cycles * c.primary_inductance * c.peak_current *
                          c.peak_current /
                          (c.target_voltage * c.target_voltage);
  return c;
}

static void set_around(bv_circuit *c, bv_random *random, double cycles) {
  double on = c->primary_inductance * c->peak_current / c->supply_voltage;
  double power = c->supply_voltage * c->peak_current / 4;
  c->bleeder_resistance = c->target_voltage * c->target_voltage /
                          (power * between(random, 1e-3, 3e-2));
  c->recovery_time = 0.02 * on;
  if (bv_random_below(random, 2) == 0)
    c->off_time_limit = on * fmax(3, sqrt(cycles) * between(random, 0.05, 1));
}

bv_circuit charge_example(uint64_t seed, uint64_t index, double cycles) {
  bv_random random = bv_random_keyed(seed, index, 0);
  bv_circuit c = base(&random, cycles);
  if (index % 3 == 0)
    c.sections = 2 + (double) bv_random_below(&random, 5);
  set_resistances(&c, &random);
  set_switch(&c, &random);
  set_core(&c, &random);
  set_around(&c, &random, cycles);
  return c;
}

/* Takes resistance back where the recharge pulse would not ring. */
static void keep_ringing(bv_circuit *c) {
  double n2 = c->turns_ratio * c->turns_ratio;
  double primary = c->supply_resistance + c->switch_resistance +
                   c->primary_resistance + c->sense_resistance;
  double r = c->secondary_resistance + c->diode_resistance + n2 * primary;
  double z = sqrt(n2 * c->leakage_inductance / c->series_capacitance);
  double scale = fmin(1, 0.8 * 2 * z / r);
  c->supply_resistance *= scale;
  c->switch_resistance *= scale;
  c->primary_resistance *= scale;
  c->sense_resistance *= scale;
  c->secondary_resistance *= scale;
  c->diode_resistance *= scale;
}

bv_circuit charge_example_doubler(uint64_t seed, uint64_t index,
                                  double cycles) {
  bv_random random = bv_random_keyed(seed, index, 1);
  bv_circuit c = base(&random, cycles);
  c.rectifier = BV_DOUBLER;
  c.turns_ratio =
      c.target_voltage / c.supply_voltage * between(&random, 0.1, 0.35);
  set_resistances(&c, &random);
  set_switch(&c, &random);
  set_core(&c, &random);
  set_around(&c, &random, cycles);
  double on = c.primary_inductance * c.peak_current / c.supply_voltage;
  double pulse = on * between(&random, 0.1, 0.5) / 3.14159265358979;
  double lr = c.turns_ratio * c.turns_ratio * c.leakage_inductance;
  c.series_capacitance = pulse * pulse / lr;
  keep_ringing(&c);
  return c;
}
