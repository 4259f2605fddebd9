/* SPDX-License-Identifier: MIT */
#include "model/clamp.h"

#include <math.h>

/* Winding voltage and the current that the leakage gave up are cosine and sine
 * of one angle, in units of `full` volts and of `most` amperes. */
void bv_clamp_swing_make(const bv_clamp *c, double current,
                         bv_clamp_swing *swing) {
  *swing = (bv_clamp_swing){.current = current};
  if (!(c->leakage > 0 && c->capacitance > 0))
    return;
  double full = c->level + c->supply, tau = sqrt(c->leakage * c->capacitance);
  double most = full * tau / c->leakage, sine = current / most;
  double angle = asin(sine), charge = c->capacitance * full;
  double share = sine * angle + sqrt(1 - sine * sine) - 1;
  swing->full = full;
  swing->tau = tau;
  swing->most = most;
  swing->sine = sine;
  swing->whole = (bv_clamp_pulse){c->level * charge * share, tau * angle};
}

bv_clamp_pulse bv_clamp_take_of(const bv_clamp *c, const bv_clamp_swing *swing,
                                double reflected) {
  if (!(c->leakage > 0))
    return (bv_clamp_pulse){0, 0};
  double above = c->level - (reflected > -c->supply ? reflected : -c->supply);
  if (!(above > 0))
    return (bv_clamp_pulse){HUGE_VAL, HUGE_VAL};
  if (!(c->capacitance > 0))
    return bv_clamp_straight(c, swing->current, above);
  double cosine = above / swing->full;
  if (swing->sine * swing->sine + cosine * cosine <= 1)
    return swing->whole;
  return bv_clamp_cut(c, swing, above, acos(cosine), sqrt(1 - cosine * cosine));
}

bv_clamp_pulse bv_clamp_take(const bv_clamp *c, double current,
                             double reflected) {
  bv_clamp_swing swing;
  bv_clamp_swing_make(c, current, &swing);
  return bv_clamp_take_of(c, &swing, reflected);
}
