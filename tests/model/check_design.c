/* SPDX-License-Identifier: MIT */
/* Designs: consistent with themselves, buildable, converged, refused by name.
 */
#include "check_main.h"
#include "model/design_support.h"

static bv_design make(const bv_job *job, const bv_choice *choice,
                      bv_precision precision) {
  bv_design design;
  bv_design_make(job, choice, &shelf_open()->parts, precision, &design);
  return design;
}

static bool near_whole(double value, double step) {
  return fabs(value / step - round(value / step)) < 1e-6;
}

START_TEST(a_beacon_can_be_built) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_design d = make(&job, &choice, BV_BUILDABLE);
  ck_assert_str_eq(bv_reason_words[d.reason], "ok");
  ck_assert(near_whole(d.primary_turns, 1) && near_whole(d.section_turns, 1));
  ck_assert(near_whole(d.gap_length, 1e-5));
  ck_assert(near_whole(d.secondary_layers, 1));
  check_close(d.secondary_turns, d.section_turns * 2, 1e-12);
  check_close(d.turns_ratio_built, d.secondary_turns / d.primary_turns, 1e-12);
  ck_assert_str_ne(d.primary_wire, "");
  ck_assert_str_ne(d.secondary_wire, "");
  ck_assert(d.window_fill <= 0.9 + 1e-9);
  check_close(d.frequency_highest, choice.max_frequency, 0.03);
  for (size_t i = 0; i < bv_design_fields.count; i++) {
    const bv_field *field = &bv_design_fields.list[i];
    ck_assert_msg(field->kind == BV_TEXT || field->kind == BV_WORD ||
                      !isnan(bv_field_number(field, &d)),
                  "%s is NAN", field->name);
  }
}
END_TEST

START_TEST(energies_balance) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_design d = make(&job, &choice, BV_BUILDABLE);
  double stage = d.loss_energy - d.loss_energy_core - d.loss_energy_gate;
  check_close(d.stored_energy + stage + d.residual_energy, d.supply_energy,
              1e-6);
  check_close(d.stored_energy, 0.5 * 33e-6 * 1500 * 1500, 1e-9);
  check_close(d.flux_density,
              d.primary_inductance * d.primary_current_max /
                  (d.primary_turns * d.core_area),
              1e-12);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {a_beacon_can_be_built, energies_balance, NULL};
  return check_main("design", tests);
}
