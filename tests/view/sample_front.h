/* SPDX-License-Identifier: MIT */
/* Fronts for the tests of the view room. */
#ifndef BV_TESTS_SAMPLE_FRONT_H
#define BV_TESTS_SAMPLE_FRONT_H

#include <stdio.h>
#include <string.h>

#include "check_main.h"
#include "table/front.h"

static inline void sample_column(bv_front *front, size_t index,
                                 const char *name, const char *unit,
                                 bv_role role) {
  bv_column *column = &front->column[index];
  column->name = strdup(name);
  column->unit = strdup(unit);
  column->role = role;
}

/* row, core, turns_ratio, charge_time, loss_energy, core_volume,
 * storage_capacitance, hot_spot_temperature, note: four rows. */
static inline bv_front sample_front(void) {
  static const struct {
    const char *core, *note;
    double numbers[6];
  } rows[] = {
      {"ETD34/17/11", NULL, {12, 1.2345, 0.0471, 7.64e-6, 33e-6, 85.26}},
      {"ETD29/16/10", "a|b", {30.5, 1.8, 0.0389, 5.47e-6, 33e-6, 104.1}},
      {"E 32/16/9", "<i>", {9.25, 0.951, 0.1203, 6.14e-6, 33e-6, 99.5}},
      {"RM 14", "x, \"y\"", {7, 0.6, 0.21, 13.9e-6, 33e-6, (double) NAN}}};
  bv_front front;
  ck_assert_int_eq(bv_front_make(&front, 9, 4, NULL), BV_OK);
  sample_column(&front, 0, "row", "", BV_ROLE_ID);
  sample_column(&front, 1, "core", "", BV_ROLE_VARIABLE);
  sample_column(&front, 2, "turns_ratio", "", BV_ROLE_VARIABLE);
  sample_column(&front, 3, "charge_time", "s", BV_ROLE_MINIMISE);
  sample_column(&front, 4, "loss_energy", "J", BV_ROLE_MINIMISE);
  sample_column(&front, 5, "core_volume", "m3", BV_ROLE_RESULT);
  sample_column(&front, 6, "storage_capacitance", "F", BV_ROLE_RESULT);
  sample_column(&front, 7, "hot_spot_temperature", "degC", BV_ROLE_RESULT);
  sample_column(&front, 8, "note", "", BV_ROLE_RESULT);
  front.column[1].is_text = front.column[8].is_text = true;
  front.column[7].limit_max = 110;
  for (size_t r = 0; r < 4; r++) {
    bv_front_value(&front, r, 0)->number = (double) r + 1;
    bv_front_value(&front, r, 1)->text = strdup(rows[r].core);
    bv_front_value(&front, r, 8)->text =
        rows[r].note ? strdup(rows[r].note) : NULL;
    for (size_t c = 0; c < 6; c++)
      bv_front_value(&front, r, c + 2)->number = rows[r].numbers[c];
  }
  return front;
}

/* A front of objectives alone, `values[row * objectives + objective]`, called
 * f0, f1, …, all minimised. */
static inline bv_front sample_objectives(const double *values, size_t rows,
                                         size_t objectives) {
  bv_front front;
  ck_assert_int_eq(bv_front_make(&front, objectives, rows, NULL), BV_OK);
  for (size_t i = 0; i < objectives; i++) {
    char name[24];
    snprintf(name, sizeof name, "f%zu", i);
    sample_column(&front, i, name, "", BV_ROLE_MINIMISE);
  }
  for (size_t i = 0; i < rows * objectives; i++)
    front.values[i].number = values[i];
  return front;
}

#endif
