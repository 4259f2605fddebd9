/* SPDX-License-Identifier: MIT */
#include "search/keys.h"

#include <math.h>

static bool tells(const bv_variable *v) {
  return v->scale == BV_SCALE_CHOICE || v->scale == BV_SCALE_ORDERED;
}

static size_t levels_of(const bv_keys *keys, size_t k) {
  return bv_variable_levels(&keys->space->variables[keys->variable[k]]);
}

bv_keys bv_keys_make(const bv_space *space) {
  bv_keys keys = {.space = space, .branches = 1};
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    if (!tells(v) || keys.branches * bv_variable_levels(v) > BV_BRANCHES_MOST)
      continue;
    keys.variable[keys.variable_count++] = i;
    keys.branches *= bv_variable_levels(v);
  }
  return keys;
}

size_t bv_keys_branch(const bv_keys *keys, const double *x) {
  size_t number = 0;
  for (size_t k = 0; k < keys->variable_count; k++)
    number = number * levels_of(keys, k) + (size_t) x[keys->variable[k]];
  return number;
}

void bv_keys_place(const bv_keys *keys, size_t branch, double *x) {
  for (size_t k = keys->variable_count; k-- > 0; branch /= levels_of(keys, k))
    x[keys->variable[k]] = (double) (branch % levels_of(keys, k));
}

double bv_keys_distance(const bv_keys *keys, size_t one, size_t other) {
  double x[BV_SPACE_MOST], y[BV_SPACE_MOST], sum = 0;
  bv_keys_place(keys, one, x);
  bv_keys_place(keys, other, y);
  for (size_t k = 0; k < keys->variable_count; k++) {
    size_t i = keys->variable[k];
    double apart = fabs(x[i] - y[i]);
    bool ordered = keys->space->variables[i].scale == BV_SCALE_ORDERED;
    sum += ordered ? apart / (double) levels_of(keys, k) : apart > 0;
  }
  return sum;
}
