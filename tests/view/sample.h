/* SPDX-License-Identifier: MIT */
/* A front of a few designs for tests of views: every result of the model and,
 * as a search writes them, variables that stand once. */
#ifndef BV_TESTS_VIEW_SAMPLE_H
#define BV_TESTS_VIEW_SAMPLE_H

#include "check_main.h"
#include "model/design_support.h"
#include "table/front.h"

enum { SAMPLE_ROWS = 4, SAMPLE_VARIABLES = 5 };

static const char *const sample_variables[SAMPLE_VARIABLES] = {
    "turns_ratio", "peak_current", "max_frequency", "sections", "core"};

/* What is searched in the sample, row by row. */
static inline bv_choice sample_choice(size_t row) {
  bv_choice choice = beacon_choice();
  choice.peak_current = 6 + 3 * (double) row;
  choice.turns_ratio = 22 + (double) row;
  choice.sections = row % 2 ? 2 : 1;
  choice.interleaved = row == 2;
  return choice;
}

static inline bv_design sample_design(size_t row) {
  bv_job job = beacon_job();
  bv_choice choice = sample_choice(row);
  bv_design design;
  bv_design_make(&job, &choice, &shelf_open()->parts, BV_BUILDABLE, &design);
  return design;
}

static inline void sample_name(bv_column *column, const char *name,
                               const char *unit, bv_role role) {
  column->name = strdup(name);
  column->unit = strdup(unit);
  column->role = role;
}

static inline bool sample_is_variable(const char *name) {
  for (size_t i = 0; i < SAMPLE_VARIABLES; i++)
    if (strcmp(sample_variables[i], name) == 0)
      return true;
  return false;
}

static inline bv_column *sample_column(bv_front *front, const char *name) {
  return &front->column[bv_front_find(front, name)];
}

static inline void sample_study(bv_front *front) {
  sample_column(front, "charge_time")->role = BV_ROLE_MINIMISE;
  sample_column(front, "charge_time")->limit_max = 1.2;
  sample_column(front, "loss_energy")->role = BV_ROLE_MINIMISE;
  sample_column(front, "switch_voltage")->limit_max = 127.5;
  sample_column(front, "hot_spot_temperature")->limit_max = 110;
  sample_column(front, "flux_margin")->limit_min = 0.1;
  front->origin.title = strdup("Harbour beacon, 24 V battery to 1.5 kV");
  front->origin.study = strdup("harbour-beacon.lua");
  front->origin.version = strdup("0.1.0");
  front->origin.digest = strdup(
      "8b1a9953c4611296a827abf8c47804d7f1e2d3c4b5a69788796a5b4c3d2e1f00");
  front->origin.seed = 7;
  front->origin.evaluations = 20000;
}

static inline void sample_fill_row(bv_front *front, size_t row) {
  bv_choice choice = sample_choice(row);
  bv_design design = sample_design(row);
  ck_assert_int_eq(design.reason, BV_REASON_OK);
  for (size_t c = 0; c < front->columns; c++) {
    bv_value *value = bv_front_value(front, row, c);
    const char *name = front->column[c].name;
    const bv_field *result = bv_field_find(bv_design_fields, name);
    const bv_field *chosen = bv_field_find(bv_choice_fields, name);
    if (c == 0)
      value->number = (double) row + 1;
    else if (front->column[c].is_text)
      value->text = strdup(bv_field_text(result, &design));
    else if (c <= SAMPLE_VARIABLES)
      value->number = bv_field_number(chosen, &choice);
    else
      value->number = bv_field_number(result, &design);
  }
}

/* Freed by bv_front_free. */
static inline bv_front sample_front(void) {
  bv_front front;
  size_t column = 1 + SAMPLE_VARIABLES;
  bv_fields fields = bv_design_fields;
  for (size_t i = 0; i < fields.count; i++)
    column += !sample_is_variable(fields.list[i].name);
  ck_assert_int_eq(bv_front_make(&front, column, SAMPLE_ROWS, NULL), BV_OK);
  sample_name(&front.column[0], "row", "", BV_ROLE_ID);
  for (column = 0; column < SAMPLE_VARIABLES; column++) {
    const char *name = sample_variables[column];
    const bv_field *field = bv_field_find(bv_design_fields, name);
    sample_name(&front.column[1 + column], name, field ? field->unit : "",
                BV_ROLE_VARIABLE);
    front.column[1 + column].is_text = strcmp(name, "core") == 0;
  }
  for (size_t i = 0; i < fields.count; i++)
    if (!sample_is_variable(fields.list[i].name)) {
      bv_column *c = &front.column[++column];
      sample_name(c, fields.list[i].name, fields.list[i].unit, BV_ROLE_RESULT);
      c->is_text = bv_field_text(&fields.list[i], &(bv_design){0}) != NULL;
    }
  for (size_t row = 0; row < SAMPLE_ROWS; row++)
    sample_fill_row(&front, row);
  sample_study(&front);
  return front;
}

#endif
