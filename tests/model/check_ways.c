/* SPDX-License-Identifier: MIT */
#include "model/ways.h"

#include "charge_examples.h"
#include "check_main.h"
#include "circuit_ode.h"
#include "model/cycle.h"

static bv_circuit bare(void) {
  bv_circuit c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = 24;
  c.target_voltage = 1200;
  c.storage_capacitance = 100e-6;
  c.primary_inductance = 20e-6;
  c.turns_ratio = 15;
  c.peak_current = 12;
  return c;
}

static const bv_ways_options usual = {0, 0.5, 0};

static void compare(const bv_circuit *c, const bv_ways_options *options,
                    bv_way_cost *costs) {
  bv_ways_compare(c, options, costs);
  for (int i = 0; i < BV_WAY_COUNT; i++)
    ck_assert_msg(costs[i].reason == BV_REASON_OK, "%s: %s", bv_way_words[i],
                  bv_reason_words[costs[i].reason]);
}

/* Boundary mode is the envelope, through the code of all ways. */
START_TEST(boundary_is_the_envelope) {
  for (uint64_t i = 0; i < 60; i++) {
    bv_circuit c =
        i % 2 ? charge_example(7, i, 5000) : charge_example_doubler(7, i, 5000);
    bv_way_cost cost;
    bv_charge e;
    bv_way_charge(&c, BV_WAY_BOUNDARY, &usual, &cost);
    bv_charge_envelope(&c, &e);
    ck_assert_int_eq(cost.reason, e.reason);
    check_close(cost.charge_time, e.charge_time, 1e-12);
    check_close(cost.loss_energy, e.loss_energy, 1e-12);
    check_close(cost.conduction_energy + cost.switching_energy +
                    cost.clamp_energy + cost.gate_energy + cost.core_energy +
                    cost.bleeder_energy,
                e.loss_energy, 1e-12);
    check_close(cost.supply_energy, e.supply_energy, 1e-12);
    check_close(cost.efficiency, e.efficiency, 1e-12);
    check_close(cost.primary_rms * cost.primary_rms * cost.charge_time,
                e.primary_current_squared, 1e-12);
    check_close(cost.frequency_end, e.frequency_end, 1e-12);
  }
}
END_TEST

/* Every loss acts back: what the supply gives is stored, lost, or left over by
 * no more than a cycle's energy in inductance and node. */
START_TEST(energy_closes_in_every_way) {
  for (uint64_t i = 0; i < 60; i++) {
    bv_circuit c = charge_example(7, i, 20000);
    bv_way_cost costs[BV_WAY_COUNT];
    compare(&c, &usual, costs);
    for (int way = 0; way < BV_WAY_COUNT; way++) {
      const bv_way_cost *cost = &costs[way];
      ck_assert_msg(fabs(cost->residual_energy) < 2 * cost->inductor_energy,
                    "example %d, %s: %g J left over, a cycle has %g J", (int) i,
                    bv_way_words[way], cost->residual_energy,
                    cost->inductor_energy);
      /* Where the level goes along with the output, an off-time limit that
       * begins to act makes the time jump. */
      bool jumps =
          way == BV_WAY_CONSTANT_OUTPUT_CURRENT && c.off_time_limit < HUGE_VAL;
      check_close(cost->charge_time, costs[0].charge_time, jumps ? 2e-3 : 1e-7);
    }
  }
}
END_TEST

/* Charges cycle by cycle between two levels; the sums, and what is left in
 * inductance and node. */
static bv_flow run_levels(const bv_circuit *c, const bv_ways_options *options,
                          double *left) {
  bv_stage s;
  bv_flow sums = {0};
  bool done = false;
  ck_assert_int_eq(bv_stage_make(c, &s), BV_REASON_OK);
  s.lower = options->lower_share * c->peak_current;
  s.rise = options->rise_time;
  bv_state state = bv_state_start(&s, c->start_voltage);
  while (!done && sums.cycles < 1e6) {
    bv_cycle cycle;
    ck_assert_int_eq(bv_cycle_next(&s, &state, &cycle, &done), BV_REASON_OK);
    bv_flow_add(&sums, 1, &cycle.flow);
  }
  double node = state.node * state.node - s.vin * s.vin;
  *left = (s.l * state.current * state.current + s.csw * node) / 2;
  return sums;
}

static double resistive(const bv_circuit *c, const bv_flow *f) {
  double rp = c->supply_resistance + c->switch_resistance +
              c->primary_resistance + c->sense_resistance;
  double r = c->secondary_resistance + c->sections * c->diode_resistance +
             c->capacitor_resistance;
  return rp * f->primary_square + r * f->output_square +
         c->sections * c->diode_drop * (f->output_charge + f->recharge_charge);
}

/* Two levels cycle by cycle: energy balances, and the way's envelope follows as
 * closely as in boundary mode. */
START_TEST(two_levels_follow_their_cycles) {
  for (uint64_t i = 0; i < 40; i++) {
    bv_circuit c = charge_example(9, i, 4000);
    bv_way_cost cost;
    double left, target = c.target_voltage;
    bv_ways_options options = usual;
    options.rise_time = 2 * c.current_fall_time;
    bv_way_charge(&c, BV_WAY_TWO_LEVELS, &options, &cost);
    bv_flow f = run_levels(&c, &options, &left);
    double lost = resistive(&c, &f) + f.clamp + f.overlap + f.turn_on +
                  f.recovery + f.bleeder + f.core;
    double stored = c.storage_capacitance * target * target / 2;
    double given = c.supply_voltage * f.primary_charge;
    ck_assert_msg(fabs(given - stored - lost - left) < 1e-6 * given,
                  "example %d: %g given, %g short", (int) i, given,
                  given - stored - lost - left);
    ck_assert_int_eq(cost.reason, BV_REASON_OK);
    check_close(cost.charge_time, f.time, 2e-3);
    check_close(cost.loss_energy - cost.gate_energy, lost, 5e-3);
    check_close(cost.recovery_energy, f.recovery, 5e-3);
  }
}
END_TEST

/* And as the switched circuit integrated apart (circuit_ode.h). */
START_TEST(two_levels_meet_the_integration) {
  const bv_ways_options none = {0, 0.4, 0};
  for (uint64_t i = 0; i < 12; i++) {
    bv_circuit c = charge_example(15, i, 150);
    double left;
    ode_charge ode;
    c.off_time_limit = HUGE_VAL;
    ck_assert(ode_charge_levels(&c, none.lower_share * c.peak_current, 1e-8,
                                5000, &ode));
    bv_flow f = run_levels(&c, &none, &left);
    ck_assert(fabs(f.cycles - ode.cycles - 1) <= 1);
    check_close(f.time, ode.charge_time, 1e-3);
    check_close(c.supply_voltage * f.primary_charge, ode.supply_energy, 1e-3);
    check_close(f.turn_on, ode.loss_turn_on, 0.01);
    check_close(f.clamp, ode.loss_clamp, 0.01);
    check_close(f.core, ode.loss_core, 0.015);
    check_close(f.recovery, ode.loss_recovery, 0.01);
  }
}
END_TEST

/* A fixed frequency is the maximum frequency of the simulator. Times agree;
 * losses to 5 %, since a charge passes few turns of the ring, and none of them
 * evenly; on average they and the turn-on's part of them agree. */
START_TEST(fixed_frequency_follows_its_cycles) {
  double more = 0, turn_on = 0, meant = 0;
  for (uint64_t i = 0; i < 40; i++) {
    bv_circuit c = charge_example(12, i, 4000);
    bv_ways_options options = usual;
    bv_way_cost cost;
    bv_charge cycles;
    options.frequency =
        0.3 * c.supply_voltage / (c.primary_inductance * c.peak_current);
    bv_way_charge(&c, BV_WAY_FIXED_FREQUENCY, &options, &cost);
    c.max_frequency = options.frequency;
    bv_charge_cycles(&c, NULL, &cycles);
    check_close(cost.charge_time, cycles.charge_time, 1e-3);
    check_close(cost.loss_energy, cycles.loss_energy, 0.05);
    more += (cost.loss_energy / cycles.loss_energy - 1) / 40;
    turn_on += cost.node_energy / cycles.loss_energy;
    meant += cycles.loss_energy_turn_on / cycles.loss_energy;
  }
  ck_assert_msg(fabs(more) < 5e-3, "losses off by %g", more);
  check_close(turn_on, meant, 0.08);
}
END_TEST

/* A constant current fills a capacitor in C (Vt - V0)/Io, whatever the losses;
 * the bleeder's share is taken along. */
START_TEST(constant_current_fills_a_capacitor) {
  for (uint64_t i = 0; i < 40; i++) {
    bv_circuit c = charge_example(13, i, 10000);
    bv_way_cost cost;
    c.off_time_limit = c.bleeder_resistance = HUGE_VAL;
    bv_way_charge(&c, BV_WAY_CONSTANT_OUTPUT_CURRENT, &usual, &cost);
    ck_assert_int_eq(cost.reason, BV_REASON_OK);
    check_close(cost.output_current_start, cost.output_current_end, 1e-8);
    check_close(cost.charge_time,
                c.storage_capacitance * c.target_voltage /
                    cost.output_current_end,
                5e-3);
  }
}
END_TEST

/* Without losses, x = n Vin/Vt: a constant output current ends at 2 (1 + x)/(1
 * + 2 x) times the peak, two levels at 1/(1 + share), here of many cycles. */
START_TEST(peak_currents_in_closed_form) {
  bv_circuit c = bare();
  bv_way_cost costs[BV_WAY_COUNT];
  bv_ways_options none = {0, 0.5, 0};
  compare(&c, &none, costs);
  double x = 15 * 24 / 1200.0;
  check_close(costs[BV_WAY_BOUNDARY].peak_current, 12, 1e-12);
  check_close(costs[BV_WAY_BOUNDARY].area_product, 1, 1e-12);
  check_close(costs[BV_WAY_CONSTANT_OUTPUT_CURRENT].peak_current,
              12 * 2 * (1 + x) / (1 + 2 * x), 5e-3);
  check_close(costs[BV_WAY_TWO_LEVELS].peak_current, 8, 5e-3);
  check_close(costs[BV_WAY_TWO_LEVELS].lower_current, 4, 5e-3);
  check_close(costs[BV_WAY_BOUNDARY].power_ratio, (1 + x) / (1 + 2 * x), 5e-3);
  check_close(costs[BV_WAY_CONSTANT_OUTPUT_CURRENT].power_ratio, 0.5, 5e-3);
  check_close(costs[BV_WAY_BOUNDARY].frequency_end, 24 / (20e-6 * 12 * 1.3),
              1e-6);
}
END_TEST

/* A wait in every cycle, and a ring about Vin of amplitude Vin: N = f t, Ip^2 =
 * C Vt^2/(L N); with N Ip^3 L/(3 Vin) the integral of i1^2, RMS goes with
 * f^(-1/4). */
START_TEST(dead_time_raises_rms_by_the_fourth_root) {
  bv_way_cost slow[BV_WAY_COUNT], slower[BV_WAY_COUNT];
  bv_circuit c = bare();
  bv_ways_options options = usual;
  c.start_voltage = 1000;
  options.frequency = 40e3;
  bv_ways_compare(&c, &options, slow);
  options.frequency = 20e3;
  bv_ways_compare(&c, &options, slower);
  const bv_way_cost *a = &slow[BV_WAY_FIXED_FREQUENCY],
                    *b = &slower[BV_WAY_FIXED_FREQUENCY];
  check_close(a->cycles, 40e3 * a->charge_time, 1e-3);
  check_close(a->frequency_start, 40e3, 1e-9);
  check_close(b->primary_rms / a->primary_rms, pow(2, 0.25), 1e-3);
  ck_assert_double_gt(a->primary_rms, slow[BV_WAY_BOUNDARY].primary_rms);
}
END_TEST

/* Nearly no swing: a rectangle of half the boundary's peak, whose mean square
 * is 3/4 of that of a triangle to the peak. No lower level: the boundary. */
START_TEST(ends_of_the_two_levels) {
  bv_circuit c = bare();
  bv_way_cost costs[BV_WAY_COUNT];
  bv_ways_options options = {0, 0.98, 0};
  compare(&c, &options, costs);
  check_close(costs[BV_WAY_TWO_LEVELS].primary_rms,
              costs[BV_WAY_BOUNDARY].primary_rms * sqrt(3.0) / 2, 5e-3);
  c = charge_example(7, 1, 5000);
  options = usual;
  options.lower_share = 0;
  compare(&c, &options, costs);
  check_close(costs[BV_WAY_TWO_LEVELS].loss_energy,
              costs[BV_WAY_BOUNDARY].loss_energy, 1e-9);
}
END_TEST

/* The charge-control equation dq/dt = i - q/tau (P. O. Lauritzen, C. L. Ma,
 * IEEE Trans. Power Electron. 6(2), 1991) summed along the fall of the current.
 */
START_TEST(recovery_is_what_the_fall_leaves) {
  const double tau = 50e-9, current = 3;
  for (double down = 1e-9; down < 1e-5; down *= 3) {
    enum { STEPS = 200000 };
    double q = current * tau, step = down / STEPS;
    for (int k = 0; k < STEPS; k++) {
      double middle = current * (1 - (k + 0.5) / STEPS);
      double half = q + step / 2 * (middle - q / tau);
      q += step * (middle - half / tau);
    }
    check_close(bv_recovery_charge(current, tau, down), q, 1e-6);
  }
  check_close(bv_recovery_charge(current, tau, 0), current * tau, 1e-12);
  ck_assert(bv_recovery_charge(current, 0, 1e-6) == 0);
}
END_TEST

/* Small losses along the lossless currents of two levels i1, Ip: recovery i1
 * trr/n (V + n Vin) and overlap (Vin + V/n) (Ip tfall + i1 trise)/2, a
 * cycle each L (Ip^2 - i1^2)/2 of stored energy. */
START_TEST(turn_on_with_current_in_closed_form) {
  bv_circuit c = bare();
  bv_way_cost cost;
  bv_ways_options options = {0, 0.5, 4e-9};
  c.current_fall_time = c.recovery_time = 1e-9;
  bv_way_charge(&c, BV_WAY_TWO_LEVELS, &options, &cost);
  double n = 15, vin = 24, v = 1200, ip = 12, i1 = 6;
  double each = 100e-6 * 2 / (20e-6 * (ip * ip - i1 * i1));
  double first = vin * v * v / 2 + v * v * v / (3 * n);
  check_close(cost.recovery_energy, i1 * 1e-9 * each * first, 0.01);
  check_close(cost.overlap_energy, (ip * 1e-9 + i1 * 4e-9) / 2 * each * first,
              0.01);
}
END_TEST

/* Common practice, at the same charge time: a constant output current needs a
 * larger peak, core and supply, at about the same loss; dead time raises the
 * RMS current; continuous current lowers peak and RMS but raises the overlap
 * and turns on hard. */
static void check_ranks(const bv_way_cost *costs) {
  const bv_way_cost *base = &costs[BV_WAY_BOUNDARY],
                    *fixed = &costs[BV_WAY_FIXED_FREQUENCY],
                    *two = &costs[BV_WAY_TWO_LEVELS],
                    *constant = &costs[BV_WAY_CONSTANT_OUTPUT_CURRENT];
  ck_assert_double_gt(constant->peak_current, base->peak_current);
  ck_assert_double_gt(constant->area_product, 1);
  ck_assert_double_lt(constant->power_ratio, base->power_ratio);
  check_close(constant->loss_energy, base->loss_energy, 0.12);
  ck_assert_double_gt(fixed->primary_rms, base->primary_rms);
  ck_assert_double_gt(fixed->peak_current, base->peak_current);
  ck_assert_double_lt(two->peak_current, base->peak_current);
  ck_assert_double_lt(two->area_product, 1);
  ck_assert_double_gt(two->overlap_energy, base->overlap_energy);
  ck_assert_double_gt(two->node_energy, base->node_energy);
  ck_assert_double_gt(two->cycles, base->cycles);
}

START_TEST(ranked_as_the_trade_says) {
  for (uint64_t i = 0; i < 100; i++) {
    bv_circuit c = charge_example(11, i, 5000);
    bv_way_cost costs[BV_WAY_COUNT];
    compare(&c, &usual, costs);
    check_ranks(costs);
  }
}
END_TEST

static void check_reason(bv_circuit c, bv_ways_options options, bv_way way,
                         bv_reason reason) {
  bv_way_cost costs[BV_WAY_COUNT];
  bv_ways_compare(&c, &options, costs);
  ck_assert_str_eq(bv_reason_words[costs[way].reason], bv_reason_words[reason]);
  ck_assert(isnan(costs[way].primary_rms) && isnan(costs[way].loss_energy));
}

/* Doublers: a fixed frequency and two levels far apart close the balance; what
 * leaves the recharge pulse no time, or the node no energy, is refused by name.
 */
START_TEST(doublers_as_far_as_they_go) {
  int levels = 0, refused = 0;
  for (uint64_t i = 0; i < 40; i++) {
    bv_circuit c = charge_example_doubler(7, i, 20000);
    bv_ways_options options = {0, 0.1, 0};
    bv_way_cost costs[BV_WAY_COUNT];
    bv_ways_compare(&c, &options, costs);
    ck_assert_int_eq(costs[BV_WAY_FIXED_FREQUENCY].reason, BV_REASON_OK);
    for (int way = 0; way < BV_WAY_COUNT; way++) {
      const bv_way_cost *cost = &costs[way];
      if (cost->reason != BV_REASON_OK) {
        ck_assert(cost->reason == BV_REASON_RECHARGE_TOO_LONG ||
                  cost->reason == BV_REASON_STALL);
        ck_assert(isnan(cost->charge_time));
        refused++;
        continue;
      }
      ck_assert_msg(fabs(cost->residual_energy) < 5e-3 * cost->supply_energy,
                    "example %d, %s: %g of %g J", (int) i, bv_way_words[way],
                    cost->residual_energy, cost->supply_energy);
      levels += way == BV_WAY_TWO_LEVELS;
    }
  }
  ck_assert_msg(levels > 20 && refused > 0, "%d, %d", levels, refused);
  bv_circuit c = charge_example_doubler(7, 1, 20000);
  check_reason(c, (bv_ways_options){0, 0.95, 0}, BV_WAY_TWO_LEVELS,
               BV_REASON_RECHARGE_TOO_LONG);
}
END_TEST

START_TEST(what_cannot_be_has_a_reason) {
  bv_circuit c = bare();
  bv_ways_options options = usual;
  options.frequency = 1; /* less than a cycle in the charge */
  check_reason(c, options, BV_WAY_FIXED_FREQUENCY, BV_REASON_BAD_CIRCUIT);
  options = usual;
  options.lower_share = 1;
  check_reason(c, options, BV_WAY_TWO_LEVELS, BV_REASON_BAD_CIRCUIT);
  options.lower_share = (double) NAN;
  check_reason(c, options, BV_WAY_BOUNDARY, BV_REASON_BAD_CIRCUIT);
  c.supply_resistance = 1.6; /* reached at 12 A, not at the 15 A it takes */
  check_reason(c, usual, BV_WAY_CONSTANT_OUTPUT_CURRENT,
               BV_REASON_COMPARATOR_UNREACHABLE);
  c = bare();
  c.leakage_inductance = 0.4e-6;
  c.clamp_voltage = 60; /* below the 80 V reflected */
  for (int way = 0; way < BV_WAY_COUNT; way++)
    check_reason(c, usual, (bv_way) way, BV_REASON_CLAMP_BELOW_REFLECTED);
  bv_way_cost costs[BV_WAY_COUNT];
  c = bare();
  options = usual;
  options.frequency = 1e9; /* never acts */
  compare(&c, &options, costs);
  check_close(costs[BV_WAY_FIXED_FREQUENCY].peak_current, 12, 1e-9);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {boundary_is_the_envelope,
                                energy_closes_in_every_way,
                                two_levels_follow_their_cycles,
                                two_levels_meet_the_integration,
                                fixed_frequency_follows_its_cycles,
                                constant_current_fills_a_capacitor,
                                peak_currents_in_closed_form,
                                dead_time_raises_rms_by_the_fourth_root,
                                ends_of_the_two_levels,
                                recovery_is_what_the_fall_leaves,
                                turn_on_with_current_in_closed_form,
                                ranked_as_the_trade_says,
                                doublers_as_far_as_they_go,
                                what_cannot_be_has_a_reason,
                                NULL};
  return check_main("model/ways", tests);
}
