/* SPDX-License-Identifier: MIT */
#include "model/ways.h"

#include "charge_examples.h"
#include "check_main.h"

static bv_circuit circuit(void) {
  bv_circuit c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = 24;
  c.target_voltage = 1200;
  c.storage_capacitance = 10e-6;
  c.primary_inductance = 20e-6;
  c.turns_ratio = 15;
  c.peak_current = 12;
  c.current_fall_time = 30e-9;
  c.node_capacitance = 500e-12;
  c.switch_resistance = 20e-3;
  c.secondary_resistance = 2;
  c.diode_drop = 1;
  return c;
}

static const bv_ways_options usual = {0, 0.5, 50e-9};

static void compare(const bv_ways_options *options, bv_way_cost *costs) {
  bv_circuit c = circuit();
  bv_ways_compare(&c, options, costs);
  for (int i = 0; i < BV_WAY_COUNT; i++)
    ck_assert_int_eq(costs[i].reason, BV_REASON_OK);
}

START_TEST(every_way_takes_the_same_time) {
  bv_way_cost costs[BV_WAY_COUNT];
  for (uint64_t i = 0; i < 200; i++) {
    bv_circuit c = charge_example(7, i, 5000);
    bv_ways_compare(&c, &usual, costs);
    for (int way = 0; way < BV_WAY_COUNT; way++)
      check_close(costs[way].charge_time, costs[0].charge_time, 1e-9);
  }
}
END_TEST

/* With x = n Vin/Vt: constant output current ends at 2 (1 + x)/(1 + 2 x) times
 * the peak, two levels at 1/(1 + share). */
START_TEST(peak_currents_in_closed_form) {
  bv_way_cost costs[BV_WAY_COUNT];
  compare(&usual, costs);
  double x = 15 * 24 / 1200.0;
  check_close(costs[BV_WAY_BOUNDARY].peak_current, 12, 1e-12);
  check_close(costs[BV_WAY_BOUNDARY].area_product, 1, 1e-12);
  check_close(costs[BV_WAY_CONSTANT_OUTPUT_CURRENT].peak_current,
              12 * 2 * (1 + x) / (1 + 2 * x), 1e-9);
  check_close(costs[BV_WAY_TWO_LEVELS].peak_current, 8, 1e-9);
  check_close(costs[BV_WAY_TWO_LEVELS].lower_current, 4, 1e-9);
  check_close(costs[BV_WAY_BOUNDARY].power_ratio, (1 + x) / (1 + 2 * x), 1e-6);
  check_close(costs[BV_WAY_CONSTANT_OUTPUT_CURRENT].power_ratio, 0.5, 1e-6);
  check_close(costs[BV_WAY_BOUNDARY].frequency_end, 24 / (20e-6 * 12 * 1.3),
              1e-6);
}
END_TEST

/* A wait in every cycle, and a ring about Vin of amplitude Vin: N = f t, Ip^2 =
 * C Vt^2/(L N); with N Ip^3 L/(3 Vin) the integral of i1^2, RMS goes with
 * f^(-1/4). */
START_TEST(dead_time_raises_rms_by_the_fourth_root) {
  bv_way_cost slow[BV_WAY_COUNT], slower[BV_WAY_COUNT];
  bv_circuit c = circuit();
  bv_ways_options options = usual;
  c.start_voltage = 1000;
  options.frequency = 40e3;
  bv_ways_compare(&c, &options, slow);
  options.frequency = 20e3;
  bv_ways_compare(&c, &options, slower);
  const bv_way_cost *a = &slow[BV_WAY_FIXED_FREQUENCY],
                    *b = &slower[BV_WAY_FIXED_FREQUENCY];
  check_close(a->cycles, 40e3 * a->charge_time, 1e-9);
  check_close(a->frequency_start, 40e3, 1e-6);
  check_close(a->node_energy, a->cycles * 500e-12 * 1.5 * 24 * 24 / 2, 1e-6);
  check_close(b->primary_rms / a->primary_rms, pow(2, 0.25), 1e-6);
  ck_assert_double_gt(a->primary_rms, slow[BV_WAY_BOUNDARY].primary_rms);
}
END_TEST

/* Nearly no swing: a rectangle of half the boundary's peak, whose mean square
 * is 3/4 of that of a triangle to the peak. No lower level: the boundary. */
START_TEST(ends_of_the_two_levels) {
  bv_way_cost costs[BV_WAY_COUNT];
  bv_ways_options options = usual;
  options.lower_share = 0.98;
  compare(&options, costs);
  check_close(costs[BV_WAY_TWO_LEVELS].primary_rms,
              costs[BV_WAY_BOUNDARY].primary_rms * sqrt(3.0) / 2, 1e-4);
  options.lower_share = 0;
  compare(&options, costs);
  check_close(costs[BV_WAY_TWO_LEVELS].switching_energy,
              costs[BV_WAY_BOUNDARY].switching_energy, 1e-9);
}
END_TEST

/* Turn-on in the valley: C Csw n^2 Vin^4/(24 E0) from zero to V >= n Vin. With
 * current: Csw C/(L (Ip^2 - I1^2)) integral of V (Vin + V/n)^2. */
START_TEST(node_and_recovery_in_closed_form) {
  bv_way_cost costs[BV_WAY_COUNT];
  compare(&usual, costs);
  double e0 = 20e-6 * 144 / 2, n = 15, vin = 24, v = 1200;
  check_close(costs[BV_WAY_BOUNDARY].node_energy,
              10e-6 * 500e-12 * n * n * pow(vin, 4) / (24 * e0), 2e-3);
  double squares = vin * vin * v * v / 2 + 2 * vin * v * v * v / (3 * n) +
                   pow(v, 4) / (4 * n * n);
  double each = 10e-6 * 2 / (20e-6 * (64 - 16));
  const bv_way_cost *two = &costs[BV_WAY_TWO_LEVELS];
  check_close(two->node_energy, 500e-12 / 2 * each * squares, 1e-8);
  double first = n * vin * v * v / 2 + v * v * v / 3;
  check_close(two->recovery_energy, 4 / n * 25e-9 * each * first, 1e-8);
}
END_TEST

/* Small losses: the boundary's are those of the envelope. */
START_TEST(losses_are_near_the_envelope) {
  bv_circuit c = circuit();
  bv_way_cost costs[BV_WAY_COUNT];
  bv_charge charge;
  c.node_capacitance = 0;
  bv_ways_compare(&c, &usual, costs);
  bv_charge_envelope(&c, &charge);
  check_close(costs[0].conduction_energy,
              charge.loss_energy_switch + charge.loss_energy_secondary +
                  charge.loss_energy_diode,
              0.03);
  check_close(costs[0].overlap_energy, charge.loss_energy_overlap, 0.03);
}
END_TEST

/* Common practice, at the same charge time: a constant output current needs a
 * larger peak; dead time raises the RMS current; continuous current lowers peak
 * and RMS but raises the overlap. */
START_TEST(ranked_as_the_trade_says) {
  bv_way_cost costs[BV_WAY_COUNT];
  for (uint64_t i = 0; i < 100; i++) {
    bv_circuit c = charge_example(11, i, 5000);
    bv_ways_compare(&c, &usual, costs);
    const bv_way_cost *base = &costs[BV_WAY_BOUNDARY],
                      *fixed = &costs[BV_WAY_FIXED_FREQUENCY],
                      *two = &costs[BV_WAY_TWO_LEVELS],
                      *constant = &costs[BV_WAY_CONSTANT_OUTPUT_CURRENT];
    ck_assert_double_gt(constant->peak_current, base->peak_current);
    ck_assert_double_gt(constant->area_product, 1);
    ck_assert_double_lt(constant->power_ratio, base->power_ratio);
    ck_assert_double_gt(fixed->primary_rms, base->primary_rms);
    ck_assert_double_gt(fixed->peak_current, base->peak_current);
    ck_assert_double_lt(two->primary_rms, base->primary_rms);
    ck_assert_double_lt(two->area_product, 1);
    ck_assert_double_gt(two->overlap_energy, base->overlap_energy);
    ck_assert_double_gt(two->node_energy, base->node_energy);
  }
}
END_TEST

START_TEST(what_is_out_of_range_has_a_reason) {
  bv_circuit c = circuit();
  bv_way_cost costs[BV_WAY_COUNT];
  bv_ways_options options = usual;
  options.frequency = 1; /* less than a cycle in the charge */
  bv_ways_compare(&c, &options, costs);
  ck_assert_int_eq(costs[BV_WAY_BOUNDARY].reason, BV_REASON_OK);
  ck_assert_int_eq(costs[BV_WAY_FIXED_FREQUENCY].reason, BV_REASON_BAD_CIRCUIT);
  ck_assert(isnan(costs[BV_WAY_FIXED_FREQUENCY].primary_rms));
  options.frequency = 1e9; /* never acts */
  bv_ways_compare(&c, &options, costs);
  check_close(costs[BV_WAY_FIXED_FREQUENCY].peak_current, 12, 1e-9);
  c.rectifier = BV_DOUBLER;
  bv_ways_compare(&c, &usual, costs);
  for (int i = 0; i < BV_WAY_COUNT; i++)
    ck_assert_int_eq(costs[i].reason, BV_REASON_BAD_CIRCUIT);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {every_way_takes_the_same_time,
                                peak_currents_in_closed_form,
                                dead_time_raises_rms_by_the_fourth_root,
                                ends_of_the_two_levels,
                                node_and_recovery_in_closed_form,
                                losses_are_near_the_envelope,
                                ranked_as_the_trade_says,
                                what_is_out_of_range_has_a_reason,
                                NULL};
  return check_main("model/ways", tests);
}
