/* SPDX-License-Identifier: MIT */
/* The loss of the core along a charge. */
#include <math.h>

#include "charge_examples.h"
#include "check_main.h"
#include "model/cycle.h"

/* Core loss of the last cycle and of the one before it. */
static void run_to_stop(const bv_circuit *c, double *last, double *before) {
  bv_stage s;
  bv_cycle cycle = {0};
  bool done = false;
  ck_assert_int_eq(bv_stage_make(c, &s), BV_REASON_OK);
  bv_state state = bv_state_start(&s, c->start_voltage);
  for (int i = 0; !done && i < 10000; i++) {
    *before = cycle.flow.core;
    ck_assert_int_eq(bv_cycle_next(&s, &state, &cycle, &done), BV_REASON_OK);
  }
  ck_assert(done);
  *last = cycle.flow.core;
}

/* A target met just after turn-off leaves next to no off-time in its cycle; the
 * flux comes down all the same. */
START_TEST(the_stop_cuts_no_loss) {
  for (uint64_t i = 0; i < 12; i++)
    for (int k = 0; k < 40; k++) {
      bv_circuit c = charge_example(12, i, 300);
      double last, before;
      c.off_time_limit = HUGE_VAL;
      c.target_voltage *= 1 + 1e-4 * k;
      run_to_stop(&c, &last, &before);
      ck_assert_msg(fabs(last / before - 1) < 0.01,
                    "example %d, target %d: last %g, before it %g", (int) i, k,
                    last, before);
    }
}
END_TEST

/* Wherever in its cycle the target is met, the envelope tells the mean; a
 * single charge differs by half a cycle in a hundred. */
START_TEST(the_envelope_tells_the_mean_over_targets) {
  for (uint64_t i = 0; i < 12; i++) {
    double mean = 0;
    for (int k = 0; k < 40; k++) {
      bv_circuit c = charge_example(13, i, 100);
      bv_charge cycles, envelope;
      c.off_time_limit = HUGE_VAL;
      c.target_voltage *= 1 + 5e-4 * k;
      bv_charge_cycles(&c, NULL, &cycles);
      bv_charge_envelope(&c, &envelope);
      double ratio = cycles.loss_energy_core / envelope.loss_energy_core;
      ck_assert_msg(fabs(ratio - 1) < 7e-3, "example %d, target %d: %g",
                    (int) i, k, ratio);
      mean += ratio / 40;
    }
    ck_assert_msg(fabs(mean - 1) < 1.5e-3, "example %d: %g", (int) i, mean);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {the_stop_cuts_no_loss,
                                the_envelope_tells_the_mean_over_targets, NULL};
  return check_main("model/cycle_core", tests);
}
