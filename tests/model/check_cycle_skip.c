/* SPDX-License-Identifier: MIT */
/* Alike cycles at once, against every cycle in full. */
#include "model/cycle_skip.h"

#include <string.h>

#include "charge_examples.h"
#include "check_main.h"
#include "model/charge_result.h"

static const double tolerance = 1e-6;

/* The largest relative difference of a result, the residual's and the counts'
 * left out; `name` is of it. */
static double difference(const bv_charge *a, const bv_charge *b,
                         const char **name) {
  double most = 0;
  for (size_t k = 1; k < bv_charge_fields.count; k++) {
    const bv_field *field = &bv_charge_fields.list[k];
    double x = bv_field_number(field, a), y = bv_field_number(field, b);
    if (x == y || strcmp(field->name, "residual_energy") == 0)
      continue;
    if (fabs(y / x - 1) > most) {
      most = fabs(y / x - 1);
      *name = field->name;
    }
  }
  return most;
}

static double imbalance(const bv_charge *c) {
  return (c->supply_energy - c->stored_energy - c->residual_energy -
          c->loss_energy + c->loss_energy_gate) /
         c->supply_energy;
}

static void check_against_full(const bv_circuit *c, uint64_t index) {
  bv_charge full, skipped;
  const char *name = "";
  bv_charge_cycles(c, NULL, &full);
  long run = bv_charge_cycles_skipping(c, tolerance, &skipped);
  ck_assert_int_eq(full.reason, BV_REASON_OK);
  ck_assert_int_eq(skipped.reason, BV_REASON_OK);
  ck_assert_double_eq(skipped.cycles, full.cycles);
  ck_assert_double_le(fabs(skipped.charge_time / full.charge_time - 1),
                      tolerance);
  double most = difference(&full, &skipped, &name);
  ck_assert_msg(most < 10 * tolerance, "example %d: %s differs by %.2g",
                (int) index, name, most);
  ck_assert_double_lt(fabs(imbalance(&skipped)), 1e-8);
  ck_assert_msg((double) run < 400 + 0.3 * full.cycles,
                "example %d: %ld of %g in full", (int) index, run, full.cycles);
}

START_TEST(skipping_meets_every_cycle_in_full) {
  for (uint64_t i = 0; i < 60; i++) {
    bv_circuit c = charge_example(12, i, 3000);
    check_against_full(&c, i);
  }
  for (uint64_t i = 60; i < 70; i++) {
    bv_circuit c = charge_example(12, i, 50000);
    c.start_voltage = 0.3 * c.target_voltage;
    check_against_full(&c, i);
  }
}
END_TEST

/* The largest difference of a few designs, and the cycles run in full. */
static double worst_at(double asked, long *run) {
  double most = 0;
  const char *name = "";
  *run = 0;
  for (uint64_t i = 0; i < 8; i++) {
    bv_circuit c = charge_example(13, i, 30000);
    bv_charge full, skipped;
    bv_charge_cycles(&c, NULL, &full);
    *run += bv_charge_cycles_skipping(&c, asked, &skipped);
    most = fmax(most, difference(&full, &skipped, &name));
  }
  return most;
}

START_TEST(errors_follow_the_tolerance) {
  long few, many;
  double coarse = worst_at(1e-3, &few), fine = worst_at(1e-8, &many);
  ck_assert_msg(coarse < 1e-3 && fine < 1e-7, "%g, %g", coarse, fine);
  ck_assert_msg(10 * fine < coarse && 2 * few < many, "%g, %ld; %g, %ld",
                coarse, few, fine, many);
}
END_TEST

/* Nothing is skipped where the phase of a long ring, or a series capacitor,
 * makes a cycle unlike the next. */
START_TEST(unlike_cycles_are_run_in_full) {
  bv_charge full, skipped;
  bv_circuit c;
  for (uint64_t i = 0; i < 10; i++) {
    c = charge_example(14, i, 20000);
    c.max_frequency =
        0.05 * c.supply_voltage / (c.primary_inductance * c.peak_current);
    double run = (double) bv_charge_cycles_skipping(&c, 1e-4, &skipped);
    ck_assert_int_eq(skipped.reason, BV_REASON_OK);
    ck_assert_msg(run > 0.97 * skipped.cycles, "example %d: %g of %g", (int) i,
                  run, skipped.cycles);
  }
  c = charge_example_doubler(14, 2, 3000);
  bv_charge_cycles(&c, NULL, &full);
  long run = bv_charge_cycles_skipping(&c, tolerance, &skipped);
  ck_assert_int_eq(full.reason, BV_REASON_OK);
  ck_assert_double_eq((double) run, full.cycles + 1);
  ck_assert_double_eq(full.charge_time, skipped.charge_time);
}
END_TEST

/* More cycles than are run one by one; the envelope is as good as its 16 points
 * here. */
START_TEST(a_hundred_million_cycles_take_no_time) {
  bv_circuit c = charge_example(15, 1, 1e8);
  bv_charge envelope, skipped;
  bv_charge_envelope_by(&c, 16, &envelope);
  ck_assert_int_lt(bv_charge_cycles_skipping(&c, tolerance, &skipped), 20000);
  ck_assert_int_eq(skipped.reason, BV_REASON_OK);
  ck_assert_double_gt(skipped.cycles, BV_CYCLES_MOST);
  check_close(skipped.charge_time, envelope.charge_time, 1e-6);
  c = charge_example(15, 1, 3000);
  c.supply_voltage = (double) NAN;
  ck_assert_int_eq(bv_charge_cycles_skipping(&c, tolerance, &skipped), 0);
  ck_assert_int_eq(skipped.reason, BV_REASON_BAD_CIRCUIT);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {skipping_meets_every_cycle_in_full,
                                errors_follow_the_tolerance,
                                unlike_cycles_are_run_in_full,
                                a_hundred_million_cycles_take_no_time, NULL};
  return check_main("model/cycle_skip", tests);
}
