/* SPDX-License-Identifier: MIT */
/* The simulator against the integration of the switched circuit (SUNDIALS, see
 * circuit_ode.h): 1e-3 in time, 1 % in each loss above 1 % of the total; 2 %
 * for the doubler, whose long pulse meets a current that changes meanwhile. */
#include <stdio.h>

#include "charge_examples.h"
#include "check_main.h"
#include "circuit_ode.h"
#include "model/charge.h"

/* About 150 cycles, so that a run takes a moment. */
static bv_circuit bare(void) {
  bv_circuit c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = 24;
  c.target_voltage = 600;
  c.storage_capacitance = 1e-6;
  c.primary_inductance = 20e-6;
  c.turns_ratio = 10;
  c.peak_current = 11;
  return c;
}

static bv_circuit lossy(void) {
  bv_circuit c = bare();
  c.supply_resistance = 0.02;
  c.switch_resistance = 0.02;
  c.primary_resistance = 0.015;
  c.sense_resistance = 0.01;
  c.secondary_resistance = 8;
  c.diode_drop = 1.1;
  c.diode_resistance = 0.8;
  c.capacitor_resistance = 0.3;
  c.bleeder_resistance = 1e6;
  c.leakage_inductance = 0.3e-6;
  c.clamp_voltage = 120;
  c.node_capacitance = 1.5e-9;
  c.turn_off_delay = 1.2e-7;
  c.turn_on_delay = 2e-7;
  c.current_fall_time = 4e-8;
  return c;
}

static double diodes(const bv_charge *c) {
  return c->loss_energy_secondary + c->loss_energy_diode +
         c->loss_energy_capacitor;
}

static double primary(const bv_charge *c) {
  return c->loss_energy_supply + c->loss_energy_switch +
         c->loss_energy_primary + c->loss_energy_sense;
}

static void compare_losses(const bv_charge *found, const ode_charge *ode,
                           double tolerance, const char *name) {
  const struct {
    const char *loss;
    double found, expected;
  } rows[] = {
      {"primary", primary(found), ode->loss_primary},
      {"secondary", diodes(found), ode->loss_secondary},
      {"clamp", found->loss_energy_clamp, ode->loss_clamp},
      {"overlap", found->loss_energy_overlap, ode->loss_overlap},
      {"turn_on", found->loss_energy_turn_on, ode->loss_turn_on},
      {"recovery", found->loss_energy_recovery, ode->loss_recovery},
      {"bleeder", found->loss_energy_bleeder, ode->loss_bleeder},
  };
  double total = 0;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
    total += rows[i].expected;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bool matters = rows[i].expected > 0.01 * total;
    double allowed = matters ? tolerance * rows[i].expected : 1e-3 * total;
    ck_assert_msg(fabs(rows[i].found - rows[i].expected) <= allowed,
                  "%s, loss %s: integration %.6g, found %.6g, total %.6g", name,
                  rows[i].loss, rows[i].expected, rows[i].found, total);
  }
}

/* The core by the integral of its flux; less where the doubler's diode catches
 * the ring. */
static void compare_core(const bv_circuit *circuit, const bv_charge *found,
                         const ode_charge *ode, const char *name) {
  double least = circuit->rectifier == BV_DOUBLER ? 0.93 : 0.99;
  double ratio = found->loss_energy_core / ode->loss_core;
  if (ode->loss_core > 0)
    ck_assert_msg(ratio > least && ratio < 1.01, "%s, core: %g", name, ratio);
}

static void compare(const bv_circuit *circuit, const char *name) {
  double near = circuit->rectifier == BV_DOUBLER ? 0.02 : 0.01;
  ode_charge ode;
  bv_charge found;
  ck_assert_msg(ode_charge_run(circuit, 1e-8, 5000, &ode), "%s", name);
  bv_charge_cycles(circuit, NULL, &found);
  ck_assert_msg(found.reason == BV_REASON_OK, "%s: %s", name,
                bv_reason_words[found.reason]);
  double error = found.charge_time / ode.charge_time - 1;
  double core = 3 * fabs(found.loss_energy_core - ode.loss_core);
  double near_time = 1e-3 + core / ode.supply_energy; /* what it takes */
  ck_assert_msg(fabs(error) < near_time,
                "%s: charge time %.8g, integration %.8g, difference %.2g", name,
                found.charge_time, ode.charge_time, error);
  ck_assert_msg(fabs(found.cycles - ode.cycles) <= 1 + near_time * ode.cycles,
                "%s: cycles %g, %g", name, found.cycles, ode.cycles);
  check_close(found.primary_current_max, ode.primary_current_max, 1e-3);
  check_close(found.supply_energy, ode.supply_energy, near_time);
  compare_losses(&found, &ode, near, name);
  compare_core(circuit, &found, &ode, name);
}

/* The integration itself: its energies add up and it meets the closed form. */
START_TEST(integration_conserves_energy) {
  bv_circuit c = lossy();
  ode_charge o;
  c.off_time_limit = 6e-6;
  c.recovery_time = 3e-7;
  ck_assert(ode_charge_run(&c, 1e-8, 5000, &o));
  double sum = o.stored_energy + o.residual_energy + o.loss_primary +
               o.loss_secondary + o.loss_clamp + o.loss_overlap +
               o.loss_turn_on + o.loss_recovery + o.loss_bleeder + o.loss_core;
  check_close(sum, o.supply_energy, 1e-6);
  c = bare();
  ck_assert(ode_charge_run(&c, 1e-8, 5000, &o));
  bv_charge ideal;
  bv_charge_ideal(&c, &ideal);
  check_close(o.cycles, floor(ideal.cycles), 1e-12);
  check_close(o.supply_energy, o.stored_energy + o.residual_energy, 1e-7);
}
END_TEST

START_TEST(ideal_circuit) {
  bv_circuit c = bare();
  compare(&c, "ideal");
}
END_TEST

START_TEST(lossy_single) {
  bv_circuit c = lossy();
  compare(&c, "lossy");
  c.turn_on_delay = 0;
  c.target_voltage = 200;
  compare(&c, "hard turn-on");
  c.node_capacitance = 8e-9;
  c.turn_on_delay = 1.5e-6;
  compare(&c, "late turn-on");
}
END_TEST

START_TEST(split_secondary) {
  bv_circuit c = lossy();
  c.sections = 4;
  compare(&c, "split");
}
END_TEST

START_TEST(off_time_limit) {
  bv_circuit c = lossy();
  c.off_time_limit = 2e-5;
  compare(&c, "limit");
  c.off_time_limit = 6e-6;
  c.turn_off_delay = 6e-7;
  compare(&c, "overshoot");
  c.recovery_time = 3e-7;
  compare(&c, "recovery");
}
END_TEST

START_TEST(maximum_frequency) {
  bv_circuit c = lossy();
  c.max_frequency = 60e3;
  compare(&c, "frequency");
}
END_TEST

START_TEST(doubler) {
  bv_circuit c = lossy();
  c.rectifier = BV_DOUBLER;
  c.series_capacitance = 3e-8;
  c.leakage_inductance = 0.4e-6;
  compare(&c, "doubler");
}
END_TEST

/* Every topology, delay, clamp, bleeder, off-time limit and maximum frequency:
 * see charge_examples.h. */
static void compare_example(uint64_t index, bool doubled) {
  char name[32];
  bv_circuit c = doubled ? charge_example_doubler(7, index, 120)
                         : charge_example(7, index, 120);
  snprintf(name, sizeof name, "example %d", (int) index);
  if (index % 5 == 1) { /* whose further rings the core's model leaves out */
    c.core_volume = 0;
    c.max_frequency =
        0.4 * c.supply_voltage / (c.primary_inductance * c.peak_current);
  }
  compare(&c, name);
}

START_TEST(random_singles) {
  for (uint64_t i = 0; i < 34; i++)
    compare_example(i, false);
}
END_TEST

START_TEST(random_doublers) {
  for (uint64_t i = 34; i < 50; i++)
    compare_example(i, true);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {integration_conserves_energy,
                                ideal_circuit,
                                lossy_single,
                                split_secondary,
                                off_time_limit,
                                maximum_frequency,
                                doubler,
                                random_singles,
                                random_doublers,
                                NULL};
  return check_main("model/charge_ode", tests);
}
