/* SPDX-License-Identifier: MIT */
/* Cycles side by side, against the same one by one: to the bit. */
#include "charge_examples.h"
#include "check_main.h"
#include "model/cycle.h"

enum { OUTPUTS = 6 };

static void spread(const bv_stage *stage, double outputs[OUTPUTS]) {
  for (int i = 0; i < OUTPUTS; i++)
    outputs[i] = stage->target * (0.02 + 0.98 * i / (OUTPUTS - 1));
}

/* How many cycles there are before the first that is missing; those are alike.
 */
static size_t check_alike(const bv_circuit *circuit) {
  bv_stage stage;
  double outputs[OUTPUTS];
  bv_cycle several[OUTPUTS], alone;
  size_t done, i = 0;
  ck_assert_int_eq(bv_stage_make(circuit, &stage), BV_REASON_OK);
  spread(&stage, outputs);
  bv_reason told =
      bv_cycle_each(&stage, OUTPUTS, outputs, NULL, several, &done);
  bv_reason reason = BV_REASON_OK;
  for (; i < OUTPUTS && reason == BV_REASON_OK; i += reason == BV_REASON_OK) {
    reason = bv_cycle_at(&stage, outputs[i], &alone);
    if (reason == BV_REASON_OK)
      ck_assert_mem_eq(&several[i], &alone, sizeof alone);
  }
  ck_assert_uint_eq(done, i);
  ck_assert_int_eq(told, reason);
  return done;
}

START_TEST(side_by_side_is_one_by_one) {
  for (uint64_t i = 0; i < 300; i++) {
    bv_circuit c = charge_example(41, i, 3000);
    if (i % 3 == 1) /* held back, by blanking and by the shortest period */
      c.comparator_blanking =
          1.5 * c.primary_inductance * c.peak_current / c.supply_voltage;
    if (i % 4 == 2)
      c.max_frequency =
          0.3 * c.supply_voltage / (c.primary_inductance * c.peak_current);
    if (i % 5 == 3)
      c.node_capacitance_winding = 0.6 * c.node_capacitance;
    ck_assert_uint_eq(check_alike(&c), OUTPUTS);
  }
}
END_TEST

START_TEST(a_doubler_is_taken_one_by_one) {
  for (uint64_t i = 0; i < 20; i++) {
    bv_circuit c = charge_example_doubler(42, i, 3000);
    ck_assert_uint_eq(check_alike(&c), OUTPUTS);
  }
}
END_TEST

/* A clamp that the reflected voltage passes on the way. */
START_TEST(the_first_that_is_missing_is_told) {
  size_t before = 0;
  for (int share = 1; share < 6; share++) {
    bv_circuit c = charge_example(43, 3, 3000);
    c.clamp_voltage = c.target_voltage / c.turns_ratio * share / 6;
    size_t done = check_alike(&c);
    ck_assert_uint_ge(done, before);
    ck_assert_uint_lt(done, OUTPUTS);
    before = done;
  }
  ck_assert_uint_gt(before, 2);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {side_by_side_is_one_by_one,
                                a_doubler_is_taken_one_by_one,
                                the_first_that_is_missing_is_told, NULL};
  return check_main("model/cycle_each", tests);
}
