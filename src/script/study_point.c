/* SPDX-License-Identifier: MIT */
/* A point as a user writes it: NAME=VALUE. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "script/study_state.h"

enum { ASSIGNMENT_MOST = 256 };

static bv_status unknown_name(const bv_study *study, const char *name,
                              bv_error *error) {
  bv_nearest nearest = bv_nearest_begin(name);
  for (size_t i = 0; i < study->problem.space.count; i++)
    bv_nearest_offer(&nearest, study->variables[i].name);
  if (nearest.best)
    return bv_fail(error, BV_USAGE, "no variable \"%s\"; did you mean \"%s\"?",
                   name, nearest.best);
  bv_buffer known = {0};
  for (size_t i = 0; i < study->problem.space.count; i++)
    bv_buffer_print(&known, "%s%s", i ? ", " : "", study->variables[i].name);
  bv_fail(error, BV_USAGE, "no variable \"%s\"; known are %s", name,
          known.text ? known.text : "");
  bv_buffer_free(&known);
  return BV_USAGE;
}

static bv_status read_label(const bv_study *study, size_t i, const char *text,
                            double *value, bv_error *error) {
  const char *label;
  bv_nearest nearest = bv_nearest_begin(text);
  for (size_t at = 0; (label = bv_study_choice(study, i, at)); at++) {
    if (strcmp(label, text) == 0) {
      *value = (double) at;
      return BV_OK;
    }
    bv_nearest_offer(&nearest, label);
  }
  return bv_fail(error, *text ? BV_BAD_DATA : BV_USAGE,
                 "%s: expected one of the choices (\"%s\", …), found \"%s\"%s%s"
                 "%s",
                 study->variables[i].name, bv_study_choice(study, i, 0), text,
                 nearest.best ? "; did you mean \"" : "",
                 nearest.best ? nearest.best : "", nearest.best ? "\"?" : "");
}

/* How far from a step a value may be by rounding, in steps. */
#define STEP_SLACK 1e-9

static bool is_allowed(const bv_variable *variable, double value) {
  if (!(value >= variable->lo && value <= variable->hi))
    return false;
  double step = variable->scale == BV_SCALE_STEP ? variable->step : 1;
  return fabs(value - bv_variable_snap(variable, value)) <= STEP_SLACK * step;
}

static bv_status read_number(const bv_variable *variable, const char *text,
                             double *value, bv_error *error) {
  char lo[BV_NUMBER_SIZE], hi[BV_NUMBER_SIZE], step[BV_NUMBER_SIZE];
  bool is_number = bv_parse_number(text, value);
  bool has_steps = variable->scale == BV_SCALE_STEP;
  if (!is_number || !is_allowed(variable, *value))
    return bv_fail(
        error, is_number ? BV_BAD_DATA : BV_USAGE,
        "%s: expected a %snumber from %s to %s%s%s, found \"%s\"",
        variable->name, variable->scale == BV_SCALE_WHOLE ? "whole " : "",
        bv_format_number(lo, variable->lo), bv_format_number(hi, variable->hi),
        has_steps ? " in steps of " : "",
        has_steps ? bv_format_number(step, variable->step) : "", text);
  *value = bv_variable_snap(variable, *value);
  return BV_OK;
}

bv_status bv_study_parse_value(const bv_study *study, size_t variable,
                               const char *text, double *value,
                               bv_error *error) {
  return bv_study_choice(study, variable, 0)
             ? read_label(study, variable, text, value, error)
             : read_number(&study->variables[variable], text, value, error);
}

static bv_status read_assignment(const bv_study *study, const char *text,
                                 double *x, bv_error *error) {
  char name[ASSIGNMENT_MOST];
  const char *equals = strchr(text, '=');
  if (!equals || equals == text || strlen(text) >= sizeof name)
    return bv_fail(error, BV_USAGE, "expected NAME=VALUE, found \"%.100s\"",
                   text);
  snprintf(name, sizeof name, "%.*s", (int) (equals - text), text);
  size_t i = bv_study_variable(study, name);
  if (i == study->problem.space.count)
    return unknown_name(study, name, error);
  return bv_study_parse_value(study, i, equals + 1, &x[i], error) == BV_OK
             ? BV_OK
             : BV_USAGE;
}

bv_status bv_study_parse_point(const bv_study *study,
                               const char *const *assignments, size_t count,
                               double *x, bv_error *error) {
  for (size_t i = 0; i < study->problem.space.count; i++)
    x[i] = bv_variable_decode(&study->variables[i], 0.5);
  for (size_t i = 0; i < count; i++) {
    bv_status status = read_assignment(study, assignments[i], x, error);
    if (status != BV_OK)
      return status;
  }
  return BV_OK;
}
