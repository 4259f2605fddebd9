/* SPDX-License-Identifier: MIT */
#include "model/switch.h"

#include <math.h>

static double more(double a, double b) {
  return a > b ? a : b;
}
static double less(double a, double b) {
  return a < b ? a : b;
}

double bv_overlap_share(double a) {
  return a < 1 ? 1 - 4.0 / 3 * a + a * a / 2 : 1 / (6 * a * a);
}

/* At the node while the current falls. */
static double standing(const bv_clamp *c, double fall, double current,
                       double reflected) {
  double above = reflected;
  if (c->leakage > 0)
    above = less(c->level, reflected + c->leakage * current / fall);
  return more(0, c->supply + above);
}

/* What the switch's own capacitance keeps from clamp and ring. */
static double lifted(const bv_clamp *c, double capacitance, double reflected,
                     double energy) {
  double charge =
      less(capacitance * (c->level - reflected) / 2, energy / c->level);
  return more(0, reflected) * charge;
}

bv_turn_off bv_turn_off_of(const bv_clamp *c, const bv_clamp_swing *swing,
                           double fall, double capacitance, double reflected) {
  double current = swing->current;
  double whole = current * fall / 2; /* A s, through the switch */
  bv_turn_off off = {more(0, c->supply + reflected) * whole,
                     bv_clamp_take_of(c, swing, reflected).energy};
  if (!(capacitance > 0))
    return off;
  double carried = 0;
  if (fall > 0) {
    double voltage = standing(c, fall, current, reflected);
    double a = sqrt(capacitance * voltage / whole), left = 1 - less(1, a);
    off.overlap = voltage * whole * bv_overlap_share(a);
    carried = whole * left * left;
  }
  if (c->leakage > 0)
    off.clamp = more(0, off.clamp - c->level * carried -
                            lifted(c, capacitance, reflected, off.clamp));
  return off;
}

bv_turn_off bv_turn_off_take(const bv_clamp *c, double fall, double capacitance,
                             double current, double reflected) {
  bv_clamp_swing swing;
  bv_clamp_swing_make(c, current, &swing);
  return bv_turn_off_of(c, &swing, fall, capacitance, reflected);
}
