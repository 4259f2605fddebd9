/* SPDX-License-Identifier: MIT */
#include "charge_examples.h"
#include "check_main.h"
#include "model/charge.h"
#include "model/design_support.h"

static bv_charge closed(const bv_circuit *circuit) {
  bv_charge charge;
  bv_charge_closed(circuit, &charge);
  return charge;
}

/* Without losses it is the ideal form, from zero and from a start voltage. */
START_TEST(without_losses_it_is_the_ideal_form) {
  bv_circuit from = charge_example(5, 1, 3000), c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = from.supply_voltage;
  c.target_voltage = from.target_voltage;
  c.storage_capacitance = from.storage_capacitance;
  c.primary_inductance = from.primary_inductance;
  c.turns_ratio = from.turns_ratio;
  c.peak_current = from.peak_current;
  for (int i = 0; i < 2; i++) {
    bv_charge a = closed(&c), b;
    bv_charge_ideal(&c, &b);
    check_close(a.charge_time, b.charge_time, 1e-12);
    check_close(a.cycles, b.cycles, 1e-12);
    check_close(a.primary_current_squared, b.primary_current_squared, 1e-12);
    check_close(a.secondary_current_squared, b.secondary_current_squared,
                1e-12);
    check_close(a.supply_energy, b.supply_energy, 1e-12);
    check_close(a.power_ratio, b.power_ratio, 1e-12);
    c.start_voltage = 0.3 * c.target_voltage;
  }
}
END_TEST

static void compare(bv_circuit c, uint64_t index, double time, double loss) {
  bv_charge a = closed(&c), b;
  bv_charge_envelope(&c, &b);
  ck_assert_int_eq(a.reason, b.reason);
  ck_assert_msg(fabs(a.charge_time / b.charge_time - 1) < time,
                "example %d: %g, envelope %g", (int) index, a.charge_time,
                b.charge_time);
  ck_assert_msg(fabs(a.loss_energy / b.loss_energy - 1) < loss,
                "example %d: loss %g, envelope %g", (int) index, a.loss_energy,
                b.loss_energy);
  check_close(a.frequency_end, b.frequency_end, 0.1);
}

START_TEST(near_the_envelope) {
  for (uint64_t i = 0; i < 200; i++) {
    bv_circuit c = charge_example(21, i, 10000);
    c.off_time_limit = HUGE_VAL;
    compare(c, i, 0.02, 0.09);
    c.start_voltage = 0.5 * c.target_voltage;
    compare(c, i, 0.02, 0.12);
  }
}
END_TEST

/* The error that charge.h tells, on designs that can be built, whose envelope
 * check_design.c confirms cycle by cycle. */
START_TEST(error_on_designs_is_as_told) {
  bv_random random = bv_random_keyed(19, 0, 0);
  static double time[300];
  size_t made = 0;
  for (int i = 0; i < 300; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    bv_design d = design_make(&job, &choice, BV_BUILDABLE);
    if (d.reason == BV_REASON_OK && d.efficiency > 0.8)
      time[made++] = fabs(closed(&d.circuit).charge_time / d.charge_time - 1);
  }
  double median = quantile(time, made, 0.5), most = quantile(time, made, 0.9);
  ck_assert_msg(median > 0.003 && median < 0.006, "median %g", median);
  ck_assert_msg(most > 0.02 && most < 0.05, "90 of 100 below %g", most);
}
END_TEST

/* No kinks: slopes over steps of 1e-4 differ by little from one step to the
 * next, in every parameter that has a value. */
START_TEST(smooth_in_every_parameter) {
  for (size_t i = 0; i < bv_circuit_fields.count; i++) {
    const bv_field *field = &bv_circuit_fields.list[i];
    bv_circuit c = charge_example(22, 4, 10000);
    double value = bv_field_number(field, &c), time[4];
    if (field->kind != BV_NUMBER || !(value > 0 && value < 1e30))
      continue;
    for (int k = 0; k < 4; k++) {
      bv_field_set_number(field, &c, value * (1 + 1e-4 * k));
      time[k] = closed(&c).charge_time;
    }
    double scale = 1e-4 * time[0];
    double bend = (time[3] - 2 * time[2] + time[1]) / scale;
    double before = (time[2] - 2 * time[1] + time[0]) / scale;
    ck_assert_msg(fabs(bend) < 2e-3 && fabs(bend - before) < 1e-5,
                  "%s: second differences %g, %g", field->name, before, bend);
  }
}
END_TEST

START_TEST(refuses_as_the_envelope_does) {
  static const struct {
    const char *field;
    double factor;
    bv_reason reason;
  } rows[] = {{"clamp_voltage", 0.3, BV_REASON_CLAMP_BELOW_REFLECTED},
              {"supply_resistance", 1e3, BV_REASON_COMPARATOR_UNREACHABLE},
              {"current_fall_time", 1e3, BV_REASON_STALL},
              {"target_voltage", -1, BV_REASON_BAD_CIRCUIT}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_circuit c = charge_example(22, 4, 10000);
    const bv_field *field = bv_field_find(bv_circuit_fields, rows[i].field);
    bv_field_set_number(field, &c, rows[i].factor * bv_field_number(field, &c));
    ck_assert_int_eq(closed(&c).reason, (int) rows[i].reason);
    ck_assert(isnan(closed(&c).charge_time));
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      without_losses_it_is_the_ideal_form, near_the_envelope,
      error_on_designs_is_as_told,         smooth_in_every_parameter,
      refuses_as_the_envelope_does,        NULL};
  return check_main("model/charge_closed", tests);
}
