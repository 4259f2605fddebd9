/* SPDX-License-Identifier: MIT */
#include "model/switch_joint.h"

double bv_overlap_share(double a) {
  return bv_share_of(a);
}

/* Where the switch carries current until the clamp or the diodes do. */
static bv_turn_off together(const bv_clamp *c, double fall, double capacitance,
                            double current, double reflected, double clamp) {
  if (current * fall > 0) {
    bv_joint j = bv_joint_of(c, fall, capacitance);
    return bv_joint_take(c, &j, fall, capacitance, current, reflected, clamp);
  }
  double lifted = bv_joint_lifted(c, capacitance, reflected, clamp);
  return (bv_turn_off){0, bv_more(0, clamp - lifted)};
}

static bv_turn_off lumped(const bv_clamp *c, double fall, double current,
                          double reflected, double clamp) {
  double voltage = bv_more(0, c->supply + reflected);
  return (bv_turn_off){voltage * (current * fall / 2), clamp};
}

bv_turn_off bv_turn_off_of(const bv_clamp *c, const bv_clamp_swing *swing,
                           const bv_ringing *ringing, double fall,
                           double capacitance, double reflected) {
  double current = swing->current;
  bool alone = bv_ringing_alone(ringing, c->supply + reflected);
  double clamp = alone ? 0 : bv_clamp_take_of(c, swing, reflected).energy;
  if (!(capacitance > 0))
    return lumped(c, fall, current, reflected, clamp);
  bv_turn_off off = together(c, fall, capacitance, current, reflected, clamp);
  if (ringing->share > 0)
    off.clamp = bv_ringing_mix(c, ringing, reflected, off.clamp);
  return off;
}

bv_turn_off bv_turn_off_rough(const bv_clamp *c, double fall,
                              double capacitance, double current,
                              double reflected) {
  bv_clamp_swing swing;
  bv_ringing none = {.share = 0};
  bv_clamp_swing_make(c, current, &swing);
  return bv_turn_off_of(c, &swing, &none, fall, capacitance, reflected);
}

bv_turn_off bv_turn_off_take(const bv_clamp *c, double fall, double capacitance,
                             double current, double reflected) {
  bv_clamp_swing swing = {.current = current};
  bv_ringing ringing;
  bv_ringing_make(c, fall, capacitance, current, &ringing);
  if (!bv_ringing_alone(&ringing, c->supply + reflected))
    bv_clamp_swing_make(c, current, &swing);
  return bv_turn_off_of(c, &swing, &ringing, fall, capacitance, reflected);
}
