/* SPDX-License-Identifier: MIT */
#include "model/switch_joint.h"

double bv_overlap_share(double a) {
  return bv_share_of(a);
}

bv_turn_off bv_turn_off_of(const bv_clamp *c, const bv_clamp_swing *swing,
                           double fall, double capacitance, double reflected) {
  double current = swing->current, whole = current * fall / 2;
  double clamp = bv_clamp_take_of(c, swing, reflected).energy;
  bv_turn_off off = {bv_more(0, c->supply + reflected) * whole, clamp};
  if (capacitance > 0 && whole > 0) {
    bv_joint j = bv_joint_of(c, fall, capacitance);
    return bv_joint_take(c, &j, fall, capacitance, current, reflected, clamp);
  }
  if (capacitance > 0 && c->leakage > 0)
    off.clamp =
        bv_more(0, clamp - bv_joint_lifted(c, capacitance, reflected, clamp));
  return off;
}

bv_turn_off bv_turn_off_take(const bv_clamp *c, double fall, double capacitance,
                             double current, double reflected) {
  bv_clamp_swing swing;
  bv_clamp_swing_make(c, current, &swing);
  return bv_turn_off_of(c, &swing, fall, capacitance, reflected);
}
