/* SPDX-License-Identifier: MIT */
#include "model/verify.h"

#include <string.h>

#include "charge_examples.h"
#include "check_main.h"

/* A charger of the size of a beacon's, without catalogue: only what the
 * simulator and the verdict look at. */
static bv_design beacon(double storage) {
  bv_design design = {0};
  bv_field_defaults(bv_design_fields, &design);
  bv_field_defaults(bv_circuit_fields, &design.circuit);
  bv_circuit *c = &design.circuit;
  c->supply_voltage = 24;
  c->target_voltage = 1500;
  c->storage_capacitance = storage;
  c->primary_inductance = 16e-6;
  c->turns_ratio = 25;
  c->peak_current = 8;
  c->switch_resistance = 0.08;
  c->secondary_resistance = 20;
  c->node_capacitance = 30e-9;
  bv_charge charge;
  bv_charge_envelope(c, &charge);
  ck_assert_int_eq(charge.reason, BV_REASON_OK);
  design.reason = BV_REASON_OK;
  design.charge_time = charge.charge_time;
  design.cycles = charge.cycles;
  design.timed_out_cycles = charge.timed_out_cycles;
  return design;
}

START_TEST(a_charge_of_many_cycles_agrees) {
  bv_design design = beacon(33e-6);
  bv_verification v;
  bv_design_verify(&design, &v);
  ck_assert_str_eq(v.verification, "agrees");
  ck_assert(fabs(v.charge_time_difference) < 1e-3);
  bv_charge charge;
  bv_charge_cycles(&design.circuit, NULL, &charge);
  check_close(v.charge_time_cycles, charge.charge_time, 1e-6);
}
END_TEST

/* A design whose time is not the circuit's must be flagged, and by how much. */
START_TEST(a_difference_beyond_a_percent_is_told_with_a_cause) {
  bv_design design = beacon(33e-6);
  bv_verification v;
  design.charge_time *= 0.98;
  bv_design_verify(&design, &v);
  check_close(v.charge_time_difference, 1 / 0.98 - 1, 0.01);
  ck_assert_str_eq(v.verification, "differs: losses change within few cycles");
  design.timed_out_cycles = 0.5 * design.cycles;
  bv_design_verify(&design, &v);
  ck_assert_str_eq(v.verification, "differs: long start at the off-time limit");
  design = beacon(0.05e-6);
  design.charge_time *= 0.98;
  bv_design_verify(&design, &v);
  ck_assert_str_eq(v.verification, "differs: few cycles");
}
END_TEST

START_TEST(what_cannot_be_simulated_says_why) {
  bv_design design = beacon(33e-6);
  bv_verification v;
  design.circuit = charge_example_doubler(1, 1, 1e7);
  bv_design_verify(&design, &v);
  ck_assert_str_eq(v.verification, "not simulated: too many cycles");
  ck_assert(isnan(v.charge_time_cycles) && isnan(v.charge_time_difference));
  design = beacon(33e-6);
  design.reason = BV_REASON_STALL;
  bv_design_verify(&design, &v);
  ck_assert_str_eq(v.verification, "stall");
  design = beacon(33e-6);
  design.circuit.switch_resistance = 4;
  bv_design_verify(&design, &v);
  ck_assert_str_eq(v.verification, "comparator_unreachable");
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      a_charge_of_many_cycles_agrees,
      a_difference_beyond_a_percent_is_told_with_a_cause,
      what_cannot_be_simulated_says_why, NULL};
  return check_main("model/verify", tests);
}
