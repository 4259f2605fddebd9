/* SPDX-License-Identifier: MIT */
#include "check_main.h"
#include "model/charge.h"
#include "model/charge_ways.h"

static bv_circuit circuit(void) {
  bv_circuit c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = 24;
  c.target_voltage = 1200;
  c.storage_capacitance = 10e-6;
  c.primary_inductance = 20e-6;
  c.turns_ratio = 15;
  c.peak_current = 12;
  c.current_fall_time = 3e-8;
  return c;
}

static bv_way_charge charge(bv_way way, double frequency, double lower) {
  bv_circuit c = circuit();
  bv_way_charge result;
  ck_assert(bv_charge_way(&c, way, frequency, lower, &result));
  return result;
}

START_TEST(boundary_is_the_ideal_form) {
  bv_circuit c = circuit();
  bv_charge ideal;
  bv_charge_ideal(&c, &ideal);
  bv_way_charge w = charge(BV_WAY_BOUNDARY, 0, 0);
  check_close(w.charge_time, ideal.charge_time, 1e-12);
  check_close(w.cycles, ideal.cycles, 1e-12);
  check_close(w.primary_current_squared, ideal.primary_current_squared, 1e-12);
  check_close(w.secondary_current_squared, ideal.secondary_current_squared,
              1e-12);
  check_close(charge(BV_WAY_FIXED_FREQUENCY, 1e9, 0).charge_time, w.charge_time,
              1e-12);
  check_close(charge(BV_WAY_TWO_LEVELS, 0, 0).charge_time, w.charge_time,
              1e-12);
}
END_TEST

/* Closed forms: C Vt/Io; power (i1 + Ip)/Ip times that of the boundary; a cycle
 * a period. */
START_TEST(closed_forms_of_the_others) {
  bv_circuit c = circuit();
  double io = 24 * 12 / (2 * (1200 + 15 * 24.0));
  check_close(charge(BV_WAY_CONSTANT_OUTPUT_CURRENT, 0, 0).charge_time,
              c.storage_capacitance * 1200 / io, 1e-12);
  double t = charge(BV_WAY_BOUNDARY, 0, 0).charge_time;
  check_close(charge(BV_WAY_TWO_LEVELS, 0, 6).charge_time, t / 1.5, 1e-12);
  c.start_voltage = 900; /* there 1 kHz acts from the first cycle on */
  bv_way_charge slow;
  ck_assert(bv_charge_way(&c, BV_WAY_FIXED_FREQUENCY, 1e3, 0, &slow));
  check_close(slow.charge_time, slow.cycles / 1e3, 1e-12);
}
END_TEST

/* Common practice: a constant output current wastes power at the start; dead
 * time raises the RMS current for the same mean power; continuous current
 * raises the overlap. */
START_TEST(ranked_as_the_trade_says) {
  bv_way_charge boundary = charge(BV_WAY_BOUNDARY, 0, 0);
  bv_way_charge constant = charge(BV_WAY_CONSTANT_OUTPUT_CURRENT, 0, 0);
  bv_way_charge fixed = charge(BV_WAY_FIXED_FREQUENCY, 40e3, 0);
  bv_way_charge levels = charge(BV_WAY_TWO_LEVELS, 0, 6);
  ck_assert(constant.charge_time > 1.1 * boundary.charge_time);
  ck_assert(fixed.charge_time > 1.1 * boundary.charge_time);
  ck_assert(fixed.primary_rms * fixed.charge_time >
            boundary.primary_rms * boundary.charge_time);
  ck_assert(levels.charge_time < boundary.charge_time);
  ck_assert(levels.turn_off_energy + levels.turn_on_energy >
            1.5 * boundary.turn_off_energy);
  ck_assert(boundary.turn_on_energy == 0);
}
END_TEST

START_TEST(out_of_range_is_refused) {
  bv_circuit c = circuit();
  bv_way_charge w;
  ck_assert(!bv_charge_way(&c, BV_WAY_FIXED_FREQUENCY, 0, 0, &w));
  ck_assert(isnan(w.charge_time));
  ck_assert(!bv_charge_way(&c, BV_WAY_TWO_LEVELS, 0, 12, &w));
  c.rectifier = BV_DOUBLER;
  ck_assert(!bv_charge_way(&c, BV_WAY_BOUNDARY, 0, 0, &w));
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      boundary_is_the_ideal_form, closed_forms_of_the_others,
      ranked_as_the_trade_says, out_of_range_is_refused, NULL};
  return check_main("model/charge_ways", tests);
}
