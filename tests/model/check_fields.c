/* SPDX-License-Identifier: MIT */
/* The tables of fields agree with their structs and can be told apart. */
#include <string.h>

#include "check_main.h"
#include "model/design.h"

static const bv_fields *const tables[] = {
    &bv_core_fields,    &bv_wire_fields,       &bv_material_fields,
    &bv_switch_fields,  &bv_diode_fields,      &bv_storage_fields,
    &bv_job_fields,     &bv_choice_fields,     &bv_design_fields,
    &bv_circuit_fields, &bv_tolerances_fields, &bv_charge_fields,
};

START_TEST(names_are_unique_and_explained) {
  for (size_t t = 0; t < sizeof tables / sizeof *tables; t++)
    for (size_t i = 0; i < tables[t]->count; i++) {
      const bv_field *field = &tables[t]->list[i];
      ck_assert_ptr_eq(bv_field_find(*tables[t], field->name), field);
      ck_assert_msg(strlen(field->meaning) > 3, "%s: no meaning", field->name);
      ck_assert_msg(!strchr(field->meaning, '\n'), "%s", field->name);
      ck_assert_msg(field->lo <= field->hi, "%s: range", field->name);
      ck_assert_msg(
          isnan(field->fallback) ||
              (field->fallback >= field->lo && field->fallback <= field->hi) ||
              field->kind == BV_TEXT,
          "%s: default out of range", field->name);
    }
}
END_TEST

START_TEST(numbers_do_not_overlap) {
  bv_design design;
  for (size_t i = 0; i < bv_design_fields.count; i++)
    if (bv_design_fields.list[i].kind == BV_NUMBER)
      bv_field_set_number(&bv_design_fields.list[i], &design, (double) i);
  for (size_t i = 0; i < bv_design_fields.count; i++)
    if (bv_design_fields.list[i].kind == BV_NUMBER)
      ck_assert(bv_field_number(&bv_design_fields.list[i], &design) ==
                (double) i);
}
END_TEST

START_TEST(worse_directions_match_their_results) {
  const struct {
    const char *name;
    int worse;
  } known[] = {{"charge_time", 1},  {"efficiency", -1},
               {"core", 0},         {"loss_energy_core", 1},
               {"flux_margin", -1}, {"switch_voltage", 1},
               {"reason", 0},       {"sensed_error", 0}};
  for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
    const bv_field *field = bv_field_find(bv_design_fields, known[i].name);
    ck_assert_ptr_nonnull(field);
    ck_assert_int_eq(bv_design_worse[field - bv_design_fields.list],
                     known[i].worse);
  }
}
END_TEST

/* Scripts, limits and files of other rooms rest on these names. */
START_TEST(results_scripts_rest_on_are_there) {
  const char *const names[] = {
      "charge_time",    "cycles",        "loss_energy",  "efficiency",
      "stored_energy",  "average_power", "power_ratio",  "frequency_start",
      "frequency_end",  "on_time_end",   "off_time_end", "primary_current_max",
      "switch_voltage", "diode_voltage", "core_volume",  "hot_spot_temperature",
      "window_fill",    "flux_density",  "reason",       "bleeder_power",
      "safe_time"};
  for (size_t i = 0; i < sizeof names / sizeof *names; i++)
    ck_assert_msg(bv_field_find(bv_design_fields, names[i]), "%s", names[i]);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {names_are_unique_and_explained,
                                numbers_do_not_overlap,
                                worse_directions_match_their_results,
                                results_scripts_rest_on_are_there, NULL};
  return check_main("fields", tests);
}
