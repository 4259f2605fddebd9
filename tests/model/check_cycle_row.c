/* SPDX-License-Identifier: MIT */
/* Cycles in a row side by side, against the same one by one, and the plain
 * version of what finds them against that for wide vectors. */
#define BV_WIDE
#define bv_cycle_rows plain_rows
#define bv_lanes_rest plain_rest
#define bv_lanes_turn_off plain_turn_off
#include "model/cycle_lanes_ring.c"
#include "model/cycle_lanes_switch.c"
#include "model/cycle_row.c"
#undef bv_cycle_rows
#undef bv_lanes_rest
#undef bv_lanes_turn_off

#include "charge_examples.h"
#include "check_main.h"

long bv_cycle_rows(const bv_stage *stage, long most, bv_row *row,
                   bv_state *state, bv_flow *sums);

enum { EXAMPLES = 300, MOST = 10 * ROW };

/* Without a limit; with and without what the turn-off takes, core and bleeder;
 * some with much damping. */
static bv_circuit unlimited(uint64_t i) {
  bv_circuit c = charge_example(51, i, 3000);
  c.off_time_limit = HUGE_VAL;
  if (i % 7 == 4)
    c.switch_capacitance = 0.7 * c.node_capacitance;
  if (i % 5 == 3)
    c.node_capacitance_winding = 0.6 * c.node_capacitance;
  if (i % 11 == 6)
    c.current_fall_time = 0;
  if (i % 13 == 2)
    c.leakage_inductance = 0;
  if (i % 9 == 5)
    c.primary_resistance = 0.1 * c.supply_voltage / c.peak_current;
  if (i % 10 == 7)
    c.steinmetz_k = 0;
  if (i % 6 == 1)
    c.bleeder_resistance = 0;
  return c;
}

/* A state of the charge some cycles after a share of the target. */
static bv_state on_the_way(const bv_stage *stage, double share) {
  bv_state state = bv_state_start(stage, share * stage->target);
  for (int i = 0; i < 5; i++) {
    bv_cycle cycle;
    bool done = false;
    ck_assert_int_eq(bv_cycle_next(stage, &state, &cycle, &done), BV_REASON_OK);
    ck_assert(!done);
  }
  return state;
}

static void check_near(double value, double expected, double scale, double by,
                       const char *what, uint64_t example) {
  ck_assert_msg(fabs(value - expected) <= by * scale,
                "example %d, %s: %.12g, one by one %.12g", (int) example, what,
                value, expected);
}

/* Against so many cycles one by one, whose rings are found to 1e-8; at turn-on
 * little may be left of the node's energy. */
static void check_alike(const bv_stage *stage, bv_state alone, long count,
                        const bv_state *end, const bv_flow *sums,
                        uint64_t example) {
  bv_flow expected = {0};
  for (long i = 0; i < count; i++) {
    bv_cycle cycle;
    bool done = false;
    ck_assert_int_eq(bv_cycle_next(stage, &alone, &cycle, &done), BV_REASON_OK);
    ck_assert(!done);
    bv_flow_add(&expected, 1, &cycle.flow);
  }
  double turn_on = stage->csw * stage->vin * stage->vin / 2;
  const double *a = (const double *) sums, *b = (const double *) &expected;
  for (size_t m = 0; m < sizeof *sums / sizeof *a; m++) {
    bool left = m == offsetof(bv_flow, turn_on) / sizeof *a;
    double scale = b[m] + left * (double) count * turn_on;
    check_near(a[m], b[m], scale, 2e-8, "an amount", example);
  }
  check_near(end->output, alone.output, alone.output, 1e-10, "output", example);
  check_near(end->current, alone.current, stage->peak, 1e-8, "current",
             example);
  check_near(end->node, alone.node, stage->vin, 1e-7, "node", example);
}

START_TEST(rows_are_cycles_one_by_one) {
  const double shares[] = {0.15, 0.4, 0.7, 0.95};
  size_t found = 0, all = 0;
  for (uint64_t i = 0; i < EXAMPLES; i++) {
    bv_circuit c = unlimited(i);
    bv_stage stage;
    ck_assert_int_eq(bv_stage_make(&c, &stage), BV_REASON_OK);
    for (size_t k = 0; k < 4; k++, all++) {
      bv_state start = on_the_way(&stage, shares[k]), end = start;
      bv_flow sums = {0};
      bv_row row = {0};
      long count = bv_cycle_rows(&stage, MOST, &row, &end, &sums);
      check_alike(&stage, start, count, &end, &sums, i);
      found += count > 0;
    }
  }
  ck_assert_msg(10 * found > 9 * all, "%zu of %zu", found, all);
}
END_TEST

START_TEST(wide_vectors_change_no_bit) {
  for (uint64_t i = 0; i < EXAMPLES; i++) {
    bv_circuit c = unlimited(i);
    bv_stage stage;
    ck_assert_int_eq(bv_stage_make(&c, &stage), BV_REASON_OK);
    bv_state wide = on_the_way(&stage, 0.5), plain = wide;
    bv_flow sums = {0}, same = {0};
    bv_row row = {0}, other = {0};
    long count = bv_cycle_rows(&stage, MOST, &row, &wide, &sums);
    ck_assert_int_eq(count, plain_rows(&stage, MOST, &other, &plain, &same));
    ck_assert_mem_eq(&sums, &same, sizeof sums);
    ck_assert_double_eq(wide.output, plain.output);
    ck_assert_double_eq(wide.current, plain.current);
    ck_assert_double_eq(wide.node, plain.node);
  }
}
END_TEST

/* Two whole cycles are left, and not many more than a row. */
START_TEST(they_stop_before_the_target) {
  for (uint64_t i = 0; i < 40; i++) {
    bv_circuit c = unlimited(i);
    bv_stage stage;
    ck_assert_int_eq(bv_stage_make(&c, &stage), BV_REASON_OK);
    bv_state state = on_the_way(&stage, 0.9);
    bv_flow sums = {0};
    bv_row row = {0};
    bool done = false;
    int left = 0;
    for (; !done; left++) {
      bv_cycle cycle;
      if (bv_cycle_rows(&stage, 100000, &row, &state, &sums) > 0)
        left = 0;
      ck_assert_int_eq(bv_cycle_next(&stage, &state, &cycle, &done),
                       BV_REASON_OK);
    }
    ck_assert_double_gt(sums.cycles, 0);
    ck_assert_int_gt(left, 2);
    ck_assert_int_lt(left, 3 * ROW);
  }
}
END_TEST

static long rows_from(const bv_circuit *circuit, double share, bool conducts) {
  bv_stage stage;
  ck_assert_int_eq(bv_stage_make(circuit, &stage), BV_REASON_OK);
  bv_state state = on_the_way(&stage, share);
  state.conducts = conducts;
  bv_state before = state;
  bv_flow sums = {0};
  bv_row row = {0};
  long count = bv_cycle_rows(&stage, MOST, &row, &state, &sums);
  if (count == 0) {
    ck_assert_mem_eq(&state, &before, sizeof state);
    ck_assert_double_eq(sums.time, 0);
    ck_assert_double_eq(sums.cycles, 0);
  }
  return count;
}

static long rows_of(const bv_circuit *circuit, double share) {
  return rows_from(circuit, share, false);
}

/* And leave everything as it was. */
START_TEST(unusual_cycles_are_refused) {
  bv_circuit usual = unlimited(0), c = usual;
  double on = c.primary_inductance * c.peak_current / c.supply_voltage;
  ck_assert_int_eq(rows_of(&usual, 0.5), MOST);
  ck_assert_int_eq(rows_from(&usual, 0.5, true), 0);
  c.node_capacitance = 0;
  ck_assert_int_eq(rows_of(&c, 0.5), 0);
  c = usual;
  c.comparator_blanking = 1.5 * on;
  ck_assert_int_eq(rows_of(&c, 0.5), 0);
  c = usual;
  c.max_frequency = 0.2 / on;
  ck_assert_int_eq(rows_of(&c, 0.5), 0);
  c = usual;
  c.off_time_limit = on / 2;
  ck_assert_int_eq(rows_of(&c, 0.2), 0);
  c = usual;
  c.bleeder_resistance = 1e3 * on / c.storage_capacitance; /* it falls */
  ck_assert_int_eq(rows_of(&c, 0.5), 0);
  c = charge_example_doubler(52, 0, 3000);
  ck_assert_int_eq(rows_of(&c, 0.5), 0);
}
END_TEST

/* At once a row would only be found one by one again. */
START_TEST(a_row_that_failed_is_not_tried_at_once) {
  bv_circuit c = unlimited(0);
  bv_stage stage;
  ck_assert_int_eq(bv_stage_make(&c, &stage), BV_REASON_OK);
  bv_state state = on_the_way(&stage, 0.5);
  bv_flow sums = {0};
  bv_row row = {.in_full = 2};
  ck_assert_int_eq(bv_cycle_rows(&stage, ROW, &row, &state, &sums), 0);
  ck_assert_int_eq(bv_cycle_rows(&stage, ROW, &row, &state, &sums), 0);
  ck_assert_int_eq(bv_cycle_rows(&stage, ROW, &row, &state, &sums), ROW);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {rows_are_cycles_one_by_one,
                                wide_vectors_change_no_bit,
                                they_stop_before_the_target,
                                unusual_cycles_are_refused,
                                a_row_that_failed_is_not_tried_at_once,
                                NULL};
  return check_main("model/cycle_row", tests);
}
