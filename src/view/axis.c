/* SPDX-License-Identifier: MIT */
#include "view/axis.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* The largest of 1, 2, 5 times a power of ten that is at most x > 0, and the
 * next one above a round number. */
static double round_below(double x) {
  double power = pow(10, floor(log10(x) + 1e-9)),
         digit = x / power * (1 + 1e-9);
  return (digit >= 5 ? 5 : digit >= 2 ? 2 : 1) * power;
}

static double round_next(double round) {
  double power = pow(10, floor(log10(round) + 1e-9));
  return round / power > 4     ? 10 * power
         : round / power > 1.5 ? 5 * power
                               : 2 * power;
}

static double round_above(double x) {
  double below = round_below(x);
  return x <= below * (1 + 1e-9) ? below : round_next(below);
}

static void add_tick(bv_axis *axis, double value) {
  double slack = 1e-9 * (axis->log ? axis->lo : axis->hi - axis->lo);
  if (axis->count < BV_TICKS_MOST && value >= axis->lo - slack &&
      value <= axis->hi + slack)
    axis->at[axis->count++] = value;
}

static void fit_linear(bv_axis *axis, const bv_axis_wish *wish) {
  double step = round_above((axis->hi - axis->lo) / (double) wish->ticks);
  double first = floor(axis->lo / step + 1e-6);
  if (!wish->tight) {
    axis->lo = first * step;
    axis->hi = ceil(axis->hi / step - 1e-6) * step;
  }
  for (int i = 0; i <= BV_TICKS_MOST; i++)
    add_tick(axis, (first + i) * step);
  double size = step / axis->unit.factor;
  axis->decimals = (int) fmax(0, -floor(log10(size) + 1e-9));
}

/* Of 2, 5, 10, 20, 50 the 2, 10 and 50. */
static void keep_every_other(bv_axis *axis) {
  for (size_t i = 0; 2 * i < axis->count; i++)
    axis->at[i] = axis->at[2 * i];
  axis->count = (axis->count + 1) / 2;
}

static void fit_log(bv_axis *axis, const bv_axis_wish *wish) {
  double span = log10(axis->hi) - log10(axis->lo);
  bool decades = span > 2 || 3 * span > 1.6 * (double) wish->ticks;
  if (!wish->tight) {
    axis->lo = round_below(axis->lo);
    axis->hi = round_above(axis->hi);
  }
  double room = (double) wish->ticks;
  double each = span > 2 * room + 2 ? ceil(span / room) : 1; /* decades */
  double first = each * floor((log10(axis->lo) + 1e-9) / each);
  double tick = decades ? pow(10, first) : round_below(axis->lo);
  for (int i = 0; i <= BV_TICKS_MOST && tick <= axis->hi * (1 + 1e-9); i++) {
    add_tick(axis, tick);
    tick = decades ? pow(10, first + each * (i + 1)) : round_next(tick);
  }
  if (axis->count > wish->ticks + 1)
    keep_every_other(axis);
}

/* Widens a range that has no extent, and keeps it from having an infinite one.
 */
static void open_range(bv_axis *axis) {
  if (!isfinite(axis->lo) || !isfinite(axis->hi)) {
    axis->lo = 0;
    axis->hi = 1;
  }
  axis->lo = fmax(axis->lo, -DBL_MAX / 8);
  axis->hi = fmin(axis->hi, DBL_MAX / 8);
  if (axis->log)
    axis->lo = fmax(axis->lo, 10 * DBL_MIN);
  double size = fmax(fabs(axis->lo), fabs(axis->hi));
  if (axis->hi - axis->lo > 1e-9 * size)
    return;
  double middle = axis->lo, half = size > 0 ? 0.1 * size : 1;
  axis->lo = middle - half;
  axis->hi = middle + half;
}

bv_axis bv_axis_fit(double lo, double hi, const bv_axis_wish *wish) {
  bv_axis axis = {.log = wish->log && lo > 0, .lo = lo, .hi = hi};
  if (wish->zero && !axis.log) {
    axis.lo = fmin(lo, 0);
    axis.hi = fmax(hi, 0);
  }
  open_range(&axis);
  axis.unit = bv_number_unit(fmax(fabs(axis.lo), fabs(axis.hi)), wish->si, 3);
  if (axis.log)
    fit_log(&axis, wish);
  else
    fit_linear(&axis, wish);
  return axis;
}

double bv_axis_place(const bv_axis *axis, double value) {
  if (axis->log)
    return (log(value) - log(axis->lo)) / (log(axis->hi) - log(axis->lo));
  return (value - axis->lo) / (axis->hi - axis->lo);
}

char *bv_axis_label(char *text, const bv_axis *axis, double value) {
  double number = value / axis->unit.factor;
  if (axis->log)
    snprintf(text, BV_NUMBER_SIZE, "%.6g", number);
  else if (axis->decimals > 6 || fabs(number) >= 1e7)
    snprintf(text, BV_NUMBER_SIZE, "%.3g", number);
  else
    snprintf(text, BV_NUMBER_SIZE, "%.*f", axis->decimals,
             fabs(number) < 1e-9 ? 0 : number);
  return text;
}
