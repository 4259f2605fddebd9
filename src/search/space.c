/* SPDX-License-Identifier: MIT */
#include "search/space.h"

#include <math.h>

#include "base/number.h"

/* How far above its last level a range may end by rounding, in steps. */
#define STEP_SLACK 1e-9

bool bv_variable_is_discrete(const bv_variable *variable) {
  return variable->scale != BV_SCALE_REAL && variable->scale != BV_SCALE_LOG;
}

/* The first level of a grid and the distance to the next. */
static void grid(const bv_variable *variable, double *first, double *step) {
  bool whole = variable->scale != BV_SCALE_STEP;
  *first = whole ? ceil(variable->lo) : variable->lo;
  *step = whole ? 1 : variable->step;
}

size_t bv_variable_levels(const bv_variable *variable) {
  if (!bv_variable_is_discrete(variable))
    return 0;
  double first, step;
  grid(variable, &first, &step);
  double last = floor((variable->hi - first) / step + STEP_SLACK);
  return last < 0 ? 0 : (size_t) last + 1;
}

static double level_value(const bv_variable *variable, double level) {
  double first, step;
  grid(variable, &first, &step);
  return first + level * step;
}

/* The level nearest to a value, kept within the grid. */
static double nearest_level(const bv_variable *variable, double value) {
  double first, step;
  grid(variable, &first, &step);
  double last = (double) bv_variable_levels(variable) - 1;
  return bv_between(round((value - first) / step), 0, last);
}

double bv_variable_snap(const bv_variable *variable, double value) {
  if (bv_variable_is_discrete(variable))
    return level_value(variable, nearest_level(variable, value));
  return bv_between(value, variable->lo, variable->hi);
}

double bv_variable_decode(const bv_variable *variable, double unit) {
  unit = bv_between(unit, 0, 1);
  double lo = variable->lo, hi = variable->hi, value;
  if (bv_variable_is_discrete(variable)) {
    double levels = (double) bv_variable_levels(variable);
    return level_value(variable, fmin(floor(unit * levels), levels - 1));
  }
  if (variable->scale == BV_SCALE_LOG)
    value = lo * exp(unit * log(hi / lo));
  else
    value = lo + unit * (hi - lo);
  /* The ends are met exactly, and rounding never leaves the range. */
  return unit >= 1 ? hi : bv_between(value, lo, hi);
}

double bv_variable_encode(const bv_variable *variable, double value) {
  double lo = variable->lo, hi = variable->hi;
  if (bv_variable_is_discrete(variable))
    return (nearest_level(variable, value) + 0.5) /
           (double) bv_variable_levels(variable);
  if (hi <= lo)
    return 0.5;
  double unit = variable->scale == BV_SCALE_LOG ? log(value / lo) / log(hi / lo)
                                                : (value - lo) / (hi - lo);
  return bv_between(unit, 0, 1);
}

void bv_variable_spread(const bv_variable *variable, bv_random *random,
                        size_t count, size_t *order, double *x, size_t stride) {
  for (size_t i = 0; i < count; i++) {
    size_t other = (size_t) bv_random_below(random, i + 1);
    order[i] = order[other];
    order[other] = i;
  }
  for (size_t i = 0; i < count; i++) {
    double unit = ((double) order[i] + bv_random_unit(random)) / (double) count;
    x[i * stride] = bv_variable_decode(variable, unit);
  }
}

static bv_status check_variable(const bv_variable *v, bv_error *error) {
  if (!isfinite(v->lo) || !isfinite(v->hi) || v->lo > v->hi)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected a finite range with lo <= hi, found %g … %g",
                   v->name, v->lo, v->hi);
  if (v->scale == BV_SCALE_LOG && v->lo <= 0)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected a positive range for a logarithmic scale, "
                   "found %g … %g",
                   v->name, v->lo, v->hi);
  if (!isfinite(v->scale == BV_SCALE_LOG ? v->hi / v->lo : v->hi - v->lo))
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected a range whose width is a number, found %g … "
                   "%g",
                   v->name, v->lo, v->hi);
  if (v->scale == BV_SCALE_STEP && !(v->step > 0 && isfinite(v->step)))
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected a finite step above 0, found %g", v->name,
                   v->step);
  if (!bv_variable_is_discrete(v))
    return BV_OK;
  double step = v->scale == BV_SCALE_STEP ? v->step : 1;
  if ((v->hi - v->lo) / step >= BV_LEVELS_MOST)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected at most %d values, found %g … %g by %g",
                   v->name, BV_LEVELS_MOST, v->lo, v->hi, step);
  if (bv_variable_levels(v) == 0)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected a whole number in the range, found %g … %g",
                   v->name, v->lo, v->hi);
  return BV_OK;
}

bv_status bv_space_check(const bv_space *space, bv_error *error) {
  if (space->count < 1 || space->count > BV_SPACE_MOST)
    return bv_fail(error, BV_BAD_DATA, "expected 1 … %d variables, found %zu",
                   BV_SPACE_MOST, space->count);
  for (size_t i = 0; i < space->count; i++)
    if (check_variable(&space->variables[i], error))
      return BV_BAD_DATA;
  return BV_OK;
}

double bv_space_size(const bv_space *space) {
  double size = 1;
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    if (bv_variable_is_discrete(v))
      size *= (double) bv_variable_levels(v);
    else if (v->hi > v->lo)
      return HUGE_VAL;
  }
  return size;
}

void bv_space_snap(const bv_space *space, double *x) {
  for (size_t i = 0; i < space->count; i++)
    x[i] = bv_variable_snap(&space->variables[i], x[i]);
}
