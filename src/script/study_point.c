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
  return bv_fail(error, BV_USAGE,
                 "%s: expected one of the choices (\"%s\", …), found \"%s\"%s%s"
                 "%s",
                 study->variables[i].name, bv_study_choice(study, i, 0), text,
                 nearest.best ? "; did you mean \"" : "",
                 nearest.best ? nearest.best : "", nearest.best ? "\"?" : "");
}

static bv_status read_number(const bv_variable *variable, const char *text,
                             double *value, bv_error *error) {
  char lo[BV_NUMBER_SIZE], hi[BV_NUMBER_SIZE];
  bool number = bv_parse_number(text, value);
  if (!number || !(*value >= variable->lo && *value <= variable->hi))
    return bv_fail(error, BV_USAGE,
                   "%s: expected a number from %s to %s, found \"%s\"",
                   variable->name, bv_format_number(lo, variable->lo),
                   bv_format_number(hi, variable->hi), text);
  if (variable->scale == BV_SCALE_WHOLE && *value != floor(*value))
    return bv_fail(error, BV_USAGE, "%s: expected a whole number, found \"%s\"",
                   variable->name, text);
  *value = bv_variable_snap(variable, *value);
  return BV_OK;
}

static bv_status read_assignment(const bv_study *study, const char *text,
                                 double *x, bv_error *error) {
  char name[ASSIGNMENT_MOST];
  const char *equals = strchr(text, '=');
  if (!equals || equals == text || strlen(text) >= sizeof name)
    return bv_fail(error, BV_USAGE, "expected NAME=VALUE, found \"%.100s\"",
                   text);
  snprintf(name, sizeof name, "%.*s", (int) (equals - text), text);
  for (size_t i = 0; i < study->problem.space.count; i++)
    if (strcmp(study->variables[i].name, name) == 0)
      return bv_study_choice(study, i, 0)
                 ? read_label(study, i, equals + 1, &x[i], error)
                 : read_number(&study->variables[i], equals + 1, &x[i], error);
  return unknown_name(study, name, error);
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
