/* SPDX-License-Identifier: MIT */
/* Clamp and overlap at turn-off, each with the other: the parts of switch.h
 * that one reflected voltage and many share. Without branches. */
#ifndef BV_MODEL_SWITCH_JOINT_H
#define BV_MODEL_SWITCH_JOINT_H

#include <math.h>

#include "model/cycle_ramp.h"
#include "model/switch.h"

static inline double bv_share_of(double a) {
  double within = 1 - 4.0 / 3 * a + a * a / 2, after = 1 / (6 * a * a);
  return a < 1 ? within : after;
}

/* How the winding's capacitance joins that of the switch, through the leakage:
 * the shares of both in the sum, and the angle of their resonance over the
 * fall, squared. */
typedef struct bv_joint {
  double sum; /* F */
  double own, winding;
  double angle2;
  double top; /* V, the node's, without leakage none */
} bv_joint;

static inline bv_joint bv_joint_of(const bv_clamp *c, double fall,
                                   double capacitance) {
  double sum = capacitance + c->capacitance, per = 1 / sum;
  double series = c->capacitance * capacitance * per;
  double angle2 = fall * fall / (series * c->leakage);
  double top = c->leakage > 0 ? c->supply + c->level : HUGE_VAL;
  return (bv_joint){sum, capacitance * per, c->capacitance * per,
                    bv_less(angle2, 1e300), top};
}

/* By how much more than the switch's own is to be lifted, 1/(own + winding/(1 +
 * x^2/fit)): exact as to the limits of a short and of a long rise, `fit` for
 * what lies between. */
static inline double bv_joint_burden(const bv_joint *j, double angle2,
                                     double fit) {
  double q = angle2 * (1 / fit);
  return (1 + q) / (1 + j->own * q);
}

/* At the node while the current falls; by then half the current lifts the
 * winding no further than the sum of capacitances, and the leakage's drop. */
static inline double bv_joint_standing(const bv_clamp *c, const bv_joint *j,
                                       double fall, double current,
                                       double reflected) {
  double drop = c->leakage * current / fall;
  double lift = current * fall / 2 / j->sum + drop;
  double node = bv_less(c->supply + reflected, lift) + drop;
  return bv_more(0, bv_less(j->top, node));
}

/* a² of bv_overlap_share. The winding joins in a rise that ends within the
 * fall by the angle at that end, in a longer one by that of the fall. */
static inline double bv_joint_arrival(const bv_joint *j, double own2) {
  double a2 = own2 * bv_joint_burden(j, bv_less(1, own2) * j->angle2, 12);
  return a2 < 1 ? a2 : bv_more(1, own2 * bv_joint_burden(j, j->angle2, 20));
}

/* Share of the current that the leakage has kept at a time in fall times. */
static inline double bv_joint_kept(const bv_joint *j, double time) {
  double angle2 = time * time * j->angle2;
  return 1 - j->winding * time * angle2 / (6 + angle2);
}

/* What the switch's own capacitance keeps from clamp and ring. */
static inline double bv_joint_lifted(const bv_clamp *c, double capacitance,
                                     double reflected, double energy) {
  double charge =
      bv_less(capacitance * (c->level - reflected) / 2, energy / c->level);
  return bv_more(0, reflected) * charge;
}

/* Of a current whose clamp alone would take an energy; fall > 0, capacitance >
 * 0. */
static inline bv_turn_off bv_joint_take(const bv_clamp *c, const bv_joint *j,
                                        double fall, double capacitance,
                                        double current, double reflected,
                                        double clamp) {
  double whole = current * fall / 2; /* A s, through the switch */
  double voltage = bv_joint_standing(c, j, fall, current, reflected);
  double a = sqrt(bv_joint_arrival(j, capacitance * voltage / whole));
  double time = bv_less(1, a), leak = bv_joint_kept(j, time);
  double given = clamp * (leak * sqrt(leak));
  double carried = whole * (1 - time) * (1 - time);
  double left = given - c->level * carried -
                bv_joint_lifted(c, capacitance, reflected, given);
  return (bv_turn_off){voltage * whole * bv_share_of(a), bv_more(0, left)};
}

#endif
