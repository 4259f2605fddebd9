/* SPDX-License-Identifier: MIT */
#include "model/charge.h"

#include "check_main.h"
#include "model/charge_result.h"

/* 24 V to 1200 V, a few thousand cycles, with every loss. */
static bv_circuit lossy(void) {
  bv_circuit c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = 24;
  c.target_voltage = 1200;
  c.storage_capacitance = 10e-6;
  c.primary_inductance = 20e-6;
  c.turns_ratio = 12;
  c.peak_current = 12;
  c.supply_resistance = 0.02;
  c.switch_resistance = 0.015;
  c.primary_resistance = 0.02;
  c.sense_resistance = 0.01;
  c.secondary_resistance = 6;
  c.diode_drop = 1.2;
  c.diode_resistance = 1;
  c.capacitor_resistance = 0.1;
  c.bleeder_resistance = 2e6;
  c.leakage_inductance = 0.3e-6;
  c.clamp_voltage = 180;
  c.node_capacitance = 1e-9;
  c.turn_off_delay = 1e-7;
  c.turn_on_delay = 1e-7;
  c.off_time_limit = 1e-4;
  c.recovery_time = 1e-7;
  c.current_fall_time = 3e-8;
  c.gate_charge = 5e-8;
  c.gate_voltage = 10;
  c.core_volume = 5e-6;
  c.core_area = 1e-4;
  c.primary_turns = 8;
  c.steinmetz_k = 0.8;
  c.steinmetz_alpha = 1.45;
  c.steinmetz_beta = 2.4;
  return c;
}

static bv_circuit ideal_circuit(void) {
  bv_circuit from = lossy(), c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = from.supply_voltage;
  c.target_voltage = from.target_voltage;
  c.storage_capacitance = from.storage_capacitance;
  c.primary_inductance = from.primary_inductance;
  c.turns_ratio = from.turns_ratio;
  c.peak_current = from.peak_current;
  return c;
}

static bv_charge envelope(const bv_circuit *circuit) {
  bv_charge charge;
  bv_charge_envelope(circuit, &charge);
  return charge;
}

static bv_charge ideal(const bv_circuit *circuit) {
  bv_charge charge;
  bv_charge_ideal(circuit, &charge);
  return charge;
}

/* Common practice: the average power is about 0.8 of the final power where the
 * reflected supply is a third of the target; (1+x)/(1+2x) gives it exactly. */
START_TEST(average_power_is_0_8_of_final_at_a_third) {
  bv_circuit c = ideal_circuit();
  c.turns_ratio = c.target_voltage / (3 * c.supply_voltage);
  check_close(ideal(&c).power_ratio, 0.8, 1e-12);
  check_close(envelope(&c).power_ratio, 0.8, 2e-3); /* arcs of the start */
}
END_TEST

/* Without losses the envelope is the closed form less the arcs of the first
 * cycles, 0.587 n sqrt(L C). */
START_TEST(envelope_without_losses_meets_the_closed_form) {
  bv_circuit c = ideal_circuit();
  bv_charge a = envelope(&c), b = ideal(&c);
  double arcs = 0.587 * c.turns_ratio *
                sqrt(c.primary_inductance * c.storage_capacitance);
  check_close(a.charge_time, b.charge_time - arcs, 1e-4);
  check_close(a.cycles, b.cycles, 1e-9);
  check_close(a.primary_current_squared, b.primary_current_squared, 3e-4);
  check_close(a.switch_voltage, b.switch_voltage, 1e-12);
  check_close(a.off_time_end, b.off_time_end, 1e-3);
}
END_TEST

/* Facts of the trade (common practice): constant on-time, a frequency that
 * rises, sections that relieve the diode and not the switch, a doubler whose
 * diode sees the output alone and whose switch sees V/n. */
START_TEST(facts_of_the_trade) {
  bv_circuit c = ideal_circuit();
  bv_charge one = envelope(&c);
  check_close(one.on_time_start, one.on_time_end, 1e-12);
  ck_assert(one.frequency_start < one.frequency_end);
  c.sections = 4;
  bv_charge four = envelope(&c);
  check_close(four.diode_voltage, one.diode_voltage / 4, 1e-12);
  check_close(four.switch_voltage, one.switch_voltage, 1e-12);
  c = ideal_circuit();
  c.rectifier = BV_DOUBLER;
  c.start_voltage = 400;
  bv_charge doubler = ideal(&c);
  check_close(doubler.diode_voltage, c.target_voltage, 1e-12);
  check_close(doubler.switch_voltage, c.target_voltage / c.turns_ratio, 1e-12);
}
END_TEST

/* Closed form for V0 >= n Vin with the series capacitor large, and the finite
 * form that has to come near it. */
START_TEST(doubler_with_a_large_capacitor) {
  bv_circuit c = ideal_circuit();
  c.rectifier = BV_DOUBLER;
  c.start_voltage = 400;
  bv_charge large = ideal(&c);
  check_close(large.charge_time,
              c.storage_capacitance * (1200.0 * 1200 - 400.0 * 400) / (24 * 12),
              1e-12);
  c.series_capacitance = 1e-3;
  bv_charge finite = ideal(&c);
  check_close(finite.charge_time, large.charge_time, 1e-4);
  check_close(finite.cycles, large.cycles, 1e-4);
  c.start_voltage = 0;
  c.series_capacitance = 0;
  ck_assert_int_eq(ideal(&c).reason, BV_REASON_DOUBLER_START);
}
END_TEST

START_TEST(energy_adds_up) {
  bv_circuit c = lossy();
  bv_charge e = envelope(&c);
  double sum = 0;
#define ADD(mechanism, meaning)                                                \
  ck_assert(e.loss_energy_##mechanism > 0);                                    \
  sum += e.loss_energy_##mechanism;
  BV_LOSS_MAP(ADD)
#undef ADD
  check_close(e.loss_energy, sum, 1e-12);
  double cycle = c.primary_inductance * c.peak_current * c.peak_current / 2;
  ck_assert(fabs(e.residual_energy) < 1.5 * cycle);
  ck_assert(e.efficiency < e.efficiency_power_stage);
}
END_TEST

/* Each loss by itself makes the charge longer, or the supply give more. */
START_TEST(each_loss_costs_something) {
  static const struct {
    const char *field;
    double value;
  } rows[] = {{"supply_resistance", 0.05},  {"switch_resistance", 0.05},
              {"primary_resistance", 0.05}, {"sense_resistance", 0.05},
              {"secondary_resistance", 20}, {"diode_drop", 2},
              {"diode_resistance", 20},     {"capacitor_resistance", 20},
              {"bleeder_resistance", 1e6},  {"node_capacitance", 2e-9},
              {"current_fall_time", 1e-7}};
  bv_circuit c = ideal_circuit();
  bv_charge bare = envelope(&c);
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    c = ideal_circuit();
    const bv_field *field = bv_field_find(bv_circuit_fields, rows[i].field);
    bv_field_set_number(field, &c, rows[i].value);
    bv_charge e = envelope(&c);
    ck_assert_msg(e.reason == BV_REASON_OK && e.loss_energy > 0 &&
                      e.supply_energy > bare.supply_energy &&
                      e.charge_time > bare.charge_time,
                  "%s", rows[i].field);
  }
}
END_TEST

START_TEST(maximum_frequency_lengthens_the_charge) {
  bv_circuit c = lossy();
  bv_charge free = envelope(&c);
  c.max_frequency = 0.7 * free.frequency_end;
  bv_charge held = envelope(&c);
  check_close(held.frequency_end, c.max_frequency, 1e-9);
  ck_assert(held.charge_time > 1.01 * free.charge_time);
  ck_assert(held.charge_time < free.charge_time / 0.7);
  c.max_frequency = 2 * free.frequency_end;
  check_close(envelope(&c).charge_time, free.charge_time, 1e-12);
}
END_TEST

/* What can't be is refused by name. */
static void change(bv_circuit *c, const char *name, double value) {
  const bv_field *field = bv_field_find(bv_circuit_fields, name);
  ck_assert_ptr_nonnull(field);
  bv_field_set_number(field, c, value);
}

START_TEST(refusals) {
  static const struct {
    const char *field;
    double value;
    bv_reason reason;
  } rows[] = {
      {"supply_resistance", 2, BV_REASON_COMPARATOR_UNREACHABLE},
      {"clamp_voltage", 100, BV_REASON_CLAMP_BELOW_REFLECTED},
      {"clamp_voltage", 0, BV_REASON_CLAMP_BELOW_REFLECTED},
      {"clamp_voltage", 100.5, BV_REASON_STALL},
      {"node_capacitance", 3e-7, BV_REASON_STALL},
      {"current_fall_time", 1e-5, BV_REASON_STALL},
      {"bleeder_resistance", 5e3, BV_REASON_BLEEDER_STALL},
      {"off_time_limit", 1.9e-7, BV_REASON_OFF_LIMIT_SHORT},
      {"off_time_limit", 0, BV_REASON_OFF_LIMIT_SHORT},
      {"supply_voltage", (double) NAN, BV_REASON_BAD_CIRCUIT},
      {"supply_voltage", 0, BV_REASON_BAD_CIRCUIT},
      {"peak_current", -1, BV_REASON_BAD_CIRCUIT},
      {"target_voltage", HUGE_VAL, BV_REASON_BAD_CIRCUIT},
      {"start_voltage", 1200, BV_REASON_BAD_CIRCUIT},
      {"sections", 1.5, BV_REASON_BAD_CIRCUIT},
      {"sections", 0, BV_REASON_BAD_CIRCUIT},
      {"leakage_inductance", 20e-6, BV_REASON_BAD_CIRCUIT},
      {"core_area", 0, BV_REASON_BAD_CIRCUIT},
      {"bleeder_resistance", (double) NAN, BV_REASON_BAD_CIRCUIT},
      {"turn_off_delay", (double) NAN, BV_REASON_BAD_CIRCUIT},
      {"rectifier", 7, BV_REASON_BAD_CIRCUIT},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_circuit c = lossy();
    change(&c, rows[i].field, rows[i].value);
    bv_charge e = envelope(&c);
    ck_assert_msg(e.reason == (int) rows[i].reason, "%s = %g: %s, not %s",
                  rows[i].field, rows[i].value, bv_reason_words[e.reason],
                  bv_reason_words[rows[i].reason]);
    ck_assert(isnan(e.charge_time) && isnan(e.loss_energy));
    ck_assert(e.impossibility >= 1 && e.impossibility <= BV_IMPOSSIBLE);
  }
}
END_TEST

/* Beyond the edge of a reason the impossibility grows from about 1 on with what
 * is asked for over what there is. */
START_TEST(impossibility_grows_from_the_edge_on) {
  static const struct {
    const char *field;
    double edge, step; /* refused from about the edge on */
  } rows[] = {
      {"supply_resistance", 1.955, 1.2},  {"clamp_voltage", 101.2, 0.8},
      {"node_capacitance", 2.85e-7, 1.5}, {"current_fall_time", 1.85e-6, 1.5},
      {"core_volume", 1.2295e-3, 1.5},    {"bleeder_resistance", 1.1e4, 0.7},
      {"off_time_limit", 2e-7, 0.7}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    double last = 0.9, value = rows[i].edge * (rows[i].step > 1 ? 1.02 : 0.98);
    for (int k = 0; k < 4; k++, value *= rows[i].step) {
      bv_circuit c = lossy();
      change(&c, rows[i].field, value);
      bv_charge e = envelope(&c);
      ck_assert_msg(e.reason != BV_REASON_OK, "%s = %g", rows[i].field, value);
      ck_assert_msg(e.impossibility > last, "%s = %g: %s %g, before %g",
                    rows[i].field, value, bv_reason_words[e.reason],
                    e.impossibility, last);
      if (k == 0)
        ck_assert_msg(e.impossibility < 1.6, "%s = %g: %g", rows[i].field,
                      value, e.impossibility);
      last = e.impossibility;
    }
  }
  bv_circuit c = lossy();
  ck_assert(envelope(&c).impossibility == 0 && ideal(&c).impossibility == 0);
}
END_TEST

/* At an empty output the off-time limit leaves nearly all of the current:
 * recovery, i trr, takes back what a cycle passes on, i toff, from trr = toff
 * on, with a bleeder or without. */
START_TEST(recovery_takes_the_charge_back) {
  double last = 0.99;
  bv_circuit c = lossy();
  c.off_time_limit = 1e-5;
  c.recovery_time = 0.97e-5;
  ck_assert_int_eq(envelope(&c).reason, BV_REASON_OK);
  for (int i = 1; i < 6; i++, last = envelope(&c).impossibility) {
    bv_charge cycles;
    c.recovery_time = (1 + 0.05 * i) * c.off_time_limit;
    c.bleeder_resistance = i % 2 ? HUGE_VAL : 2e6;
    bv_charge_cycles(&c, NULL, &cycles);
    ck_assert_int_eq(cycles.reason, BV_REASON_RECOVERY_STALL);
    ck_assert_int_eq(envelope(&c).reason, BV_REASON_RECOVERY_STALL);
    check_close(cycles.impossibility, 1 + 0.05 * i, 1.5e-2);
    ck_assert_double_gt(cycles.impossibility, last);
  }
}
END_TEST

/* A bleeder that takes the whole charge only just below the target, where no
 * point of the quadrature lies, stops it as well. */
START_TEST(a_bleeder_stops_the_end) {
  int refused = 0;
  for (double r = 0.9e4; r < 1.6e4; r *= 1.002) {
    bv_circuit c = lossy();
    c.bleeder_resistance = r;
    bv_charge e = envelope(&c);
    refused += e.reason == BV_REASON_BLEEDER_STALL;
    ck_assert_msg(e.reason != BV_REASON_OK || e.power_ratio > 0,
                  "%g ohm: power ratio %g", r, e.power_ratio);
  }
  ck_assert_int_gt(refused, 20);
}
END_TEST

/* Where the switch's capacitance takes the current over, a stall begins at 1
 * too. */
START_TEST(stall_is_graded_by_its_own_turn_off) {
  bv_circuit c = lossy();
  c.switch_capacitance = c.node_capacitance = 2e-9;
  c.turn_off_delay = 0;
  c.bleeder_resistance = HUGE_VAL;
  double works = 1e-6, stalls = 1e-4;
  for (int i = 0; i < 50; i++) {
    c.current_fall_time = sqrt(works * stalls);
    if (envelope(&c).reason == BV_REASON_OK)
      works = c.current_fall_time;
    else
      stalls = c.current_fall_time;
  }
  c.current_fall_time = stalls;
  bv_charge e = envelope(&c);
  ck_assert_int_eq(e.reason, BV_REASON_STALL);
  ck_assert_msg(e.impossibility < 1.01, "%g at %g s", e.impossibility, stalls);
  c.current_fall_time = 1.5 * stalls;
  ck_assert_double_gt(envelope(&c).impossibility, 1.2);
}
END_TEST

START_TEST(doubler_refusals) {
  bv_circuit c = lossy();
  c.rectifier = BV_DOUBLER;
  c.series_capacitance = 0;
  ck_assert_int_eq(envelope(&c).reason, BV_REASON_BAD_CIRCUIT);
  c.series_capacitance = 1e-5;
  ck_assert_int_eq(envelope(&c).reason, BV_REASON_RECHARGE_OVERDAMPED);
  c.series_capacitance = 2e-7;
  c.leakage_inductance = 1e-5;
  ck_assert_int_eq(envelope(&c).reason, BV_REASON_RECHARGE_TOO_LONG);
}
END_TEST

/* A doubler's recharge at the start is many times the comparator's level:
 * unless the comparator is blind it trips, as a result. */
START_TEST(comparator_trips_unless_it_is_blind) {
  bv_circuit c = lossy();
  c.rectifier = BV_DOUBLER;
  c.target_voltage = 800;
  c.series_capacitance = 5e-8;
  bv_charge blind = envelope(&c);
  ck_assert_int_eq(blind.reason, BV_REASON_OK);
  ck_assert_double_gt(blind.recharge_current_max, 3 * c.peak_current);
  c.comparator_blanking = 1e-7;
  ck_assert_int_eq(envelope(&c).reason, BV_REASON_COMPARATOR_TRIP);
  bv_charge cycles;
  bv_charge_cycles(&c, NULL, &cycles);
  ck_assert_int_eq(cycles.reason, BV_REASON_COMPARATOR_TRIP);
  c.comparator_blanking = 9e-6;
  ck_assert_int_eq(envelope(&c).reason, BV_REASON_OK);
}
END_TEST

/* Blind for longer than the on-time, the comparator lets the current pass its
 * level: Vin t/L less the drop. */
START_TEST(blanking_longer_than_the_on_time) {
  bv_circuit c = ideal_circuit();
  bv_charge seen = envelope(&c);
  c.comparator_blanking = 0.5 * seen.on_time_end;
  check_close(envelope(&c).charge_time, seen.charge_time, 1e-12);
  c.comparator_blanking = 1.5 * seen.on_time_end;
  bv_charge late = envelope(&c);
  check_close(late.primary_current_max, 1.5 * c.peak_current, 1e-9);
  check_close(late.on_time_end, 1.5 * seen.on_time_end, 1e-9);
  check_close(late.cycles, seen.cycles / 2.25, 1e-3);
}
END_TEST

/* Start-up overshoot: where the off-time limit is short and the delay long the
 * current passes the comparator level and the peak tells. */
START_TEST(start_up_overshoot_is_reported) {
  bv_circuit c = lossy();
  c.turn_off_delay = 1e-6;
  c.off_time_limit = 6e-6;
  bv_charge e = envelope(&c);
  ck_assert_int_eq(e.reason, BV_REASON_OK);
  ck_assert_double_gt(e.primary_current_max, c.peak_current + 2 * 24.0 / 20);
}
END_TEST

/* More points change less: 6 stay within 2e-5 of 16 on a smooth example. */
START_TEST(converges_with_quadrature_points) {
  bv_circuit c = lossy();
  bv_charge fine, charge;
  double last = 1;
  bv_charge_envelope_by(&c, 16, &fine);
  for (size_t points = 2; points <= 8; points += 2) {
    bv_charge_envelope_by(&c, points, &charge);
    double error = fabs(charge.charge_time / fine.charge_time - 1);
    ck_assert_msg(error < last, "%d points: %g after %g", (int) points, error,
                  last);
    last = error;
    if (points == 6)
      ck_assert_double_lt(error, 2e-5);
  }
}
END_TEST

START_TEST(fields_name_every_result) {
  size_t count = (sizeof(bv_charge) - 8) / sizeof(double) + 1;
  ck_assert_uint_eq(bv_charge_fields.count, count);
  for (size_t i = 1; i < bv_charge_fields.count; i++)
    ck_assert_uint_eq(bv_charge_fields.list[i].offset, 8 * i);
  for (int i = 0; i < BV_REASON_COUNT; i++)
    ck_assert(bv_reason_words[i] && *bv_reason_meaning((bv_reason) i));
  ck_assert_ptr_null(bv_reason_words[BV_REASON_COUNT]);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {average_power_is_0_8_of_final_at_a_third,
                                envelope_without_losses_meets_the_closed_form,
                                facts_of_the_trade,
                                doubler_with_a_large_capacitor,
                                energy_adds_up,
                                each_loss_costs_something,
                                maximum_frequency_lengthens_the_charge,
                                refusals,
                                impossibility_grows_from_the_edge_on,
                                recovery_takes_the_charge_back,
                                a_bleeder_stops_the_end,
                                stall_is_graded_by_its_own_turn_off,
                                doubler_refusals,
                                comparator_trips_unless_it_is_blind,
                                blanking_longer_than_the_on_time,
                                start_up_overshoot_is_reported,
                                converges_with_quadrature_points,
                                fields_name_every_result,
                                NULL};
  return check_main("model/charge", tests);
}
