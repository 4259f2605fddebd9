/* SPDX-License-Identifier: MIT */
#include "run/unlimited.h"

#include <string.h>

#include "run/ends.h"

static const struct {
  const char *name;
  bool is_margin; /* breaks below 0; else above 1 */
} kept[] = {
    {"switch_voltage_margin", true}, {"switch_current_margin", true},
    {"diode_voltage_margin", true},  {"diode_current_margin", true},
    {"flux_margin", true},           {"window_fill", false},
    {"charge_duty", false},
};

static bool is_named(const bv_study *study, const char *name) {
  bv_limit_end ends[BV_LIMITS_MOST];
  size_t limits = bv_ends_list(study, ends), count;
  const bv_objective *objectives = bv_study_objectives(study, &count);
  for (size_t i = 0; i < limits; i++)
    if (strcmp(ends[i].name, name) == 0)
      return true;
  for (size_t i = 0; i < count; i++)
    if (strcmp(objectives[i].name, name) == 0)
      return true;
  return false;
}

/* Designs that break it; 0 where there is no such result. */
static size_t broken_by(const bv_front *designs, const char *name,
                        bool is_margin) {
  size_t column = bv_front_find(designs, name), broken = 0;
  if (column == designs->columns || designs->column[column].is_text)
    return 0;
  for (size_t row = 0; row < designs->rows; row++) {
    double value = bv_front_value(designs, row, column)->number;
    broken += is_margin ? value < 0 : value > 1;
  }
  return broken;
}

void bv_unlimited_report(const bv_study *study, const bv_front *designs,
                         bv_buffer *text) {
  for (size_t i = 0; i < sizeof kept / sizeof *kept; i++) {
    size_t broken = is_named(study, kept[i].name)
                        ? 0
                        : broken_by(designs, kept[i].name, kept[i].is_margin);
    if (broken > 0)
      bv_buffer_print(text,
                      "%zu of %zu designs have %s %s, which no limit forbids\n",
                      broken, designs->rows, kept[i].name,
                      kept[i].is_margin ? "below 0" : "above 1");
  }
}
