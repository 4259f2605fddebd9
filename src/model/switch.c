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

/* How the winding's capacitance joins that of the switch, through the leakage:
 * the shares of both in the sum, and the angle of their resonance over the
 * fall, squared. */
typedef struct joint {
  double sum; /* F */
  double own, winding;
  double angle2;
} joint;

static joint joint_of(const bv_clamp *c, double fall, double capacitance) {
  double sum = capacitance + c->capacitance;
  double own = capacitance / sum, winding = c->capacitance / sum;
  double angle2 = fall * fall / (winding * capacitance * c->leakage);
  return (joint){sum, own, winding, less(angle2, 1e300)};
}

/* By how much more than the switch's own is to be lifted: exact as to the
 * limits of a short and of a long rise, `fit` for what lies between. */
static double burden(const joint *j, double angle2, double fit) {
  return 1 / (j->own + j->winding / (1 + angle2 / fit));
}

/* At the node while the current falls; by then half the current lifts the
 * winding no further than the sum of capacitances, and the leakage's drop. */
static double standing(const bv_clamp *c, const joint *j, double fall,
                       double current, double reflected) {
  double drop = c->leakage * current / fall;
  double lift = current * fall / 2 / j->sum + drop;
  double node = less(c->supply + reflected, lift) + drop;
  if (c->leakage > 0)
    node = less(c->supply + c->level, node);
  return more(0, node);
}

/* a² of bv_overlap_share. The winding joins in a rise that ends within the
 * fall by the angle at that end, in a longer one by that of the fall. */
static double arrival(const joint *j, double own2) {
  double a2 = own2 * burden(j, less(1, own2) * j->angle2, 12);
  return a2 < 1 ? a2 : more(1, own2 * burden(j, j->angle2, 20));
}

/* Share of the current that the leakage has kept at a time in fall times. */
static double kept(const joint *j, double time) {
  double angle2 = time * time * j->angle2;
  return 1 - j->winding * time * angle2 / (6 + angle2);
}

/* What the switch's own capacitance keeps from clamp and ring. */
static double lifted(const bv_clamp *c, double capacitance, double reflected,
                     double energy) {
  double charge =
      less(capacitance * (c->level - reflected) / 2, energy / c->level);
  return more(0, reflected) * charge;
}

static bv_turn_off lumped(const bv_clamp *c, const bv_clamp_swing *swing,
                          double fall, double reflected) {
  double whole = swing->current * fall / 2;
  return (bv_turn_off){more(0, c->supply + reflected) * whole,
                       bv_clamp_take_of(c, swing, reflected).energy};
}

bv_turn_off bv_turn_off_of(const bv_clamp *c, const bv_clamp_swing *swing,
                           double fall, double capacitance, double reflected) {
  bv_turn_off off = lumped(c, swing, fall, reflected);
  if (!(capacitance > 0))
    return off;
  double current = swing->current, carried = 0;
  double whole = current * fall / 2; /* A s, through the switch */
  if (whole > 0) {
    joint j = joint_of(c, fall, capacitance);
    double voltage = standing(c, &j, fall, current, reflected);
    double a = sqrt(arrival(&j, capacitance * voltage / whole));
    double time = less(1, a), leak = kept(&j, time);
    off.overlap = voltage * whole * bv_overlap_share(a);
    off.clamp *= leak * sqrt(leak);
    carried = whole * (1 - time) * (1 - time);
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
