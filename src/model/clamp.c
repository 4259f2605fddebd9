/* SPDX-License-Identifier: MIT */
#include "model/clamp.h"

#include <math.h>

/* The winding stays at a voltage by which the level is above it. */
static bv_clamp_pulse straight(const bv_clamp *c, double current,
                               double above) {
  double time = c->leakage * current / above;
  return (bv_clamp_pulse){c->level * current * time / 2, time};
}

/* Winding voltage and the current that the leakage gave up are cosine and sine
 * of one angle, in units of `full` volts and of `most` amperes. */
bv_clamp_pulse bv_clamp_take(const bv_clamp *c, double current,
                             double reflected) {
  if (!(c->leakage > 0))
    return (bv_clamp_pulse){0, 0};
  double above = c->level - (reflected > -c->supply ? reflected : -c->supply);
  if (!(above > 0))
    return (bv_clamp_pulse){HUGE_VAL, HUGE_VAL};
  if (!(c->capacitance > 0))
    return straight(c, current, above);
  double full = c->level + c->supply, tau = sqrt(c->leakage * c->capacitance);
  double most = full * tau / c->leakage;
  double sine = current / most, cosine = above / full;
  if (sine * sine + cosine * cosine <= 1) {
    double angle = asin(sine), charge = c->capacitance * full;
    double share = sine * angle + sqrt(1 - sine * sine) - 1;
    return (bv_clamp_pulse){c->level * charge * share, tau * angle};
  }
  double angle = acos(cosine), given = most * sqrt(1 - cosine * cosine);
  bv_clamp_pulse rest = straight(c, current - given, above);
  double charge = current * tau * angle - c->capacitance * (full - above);
  return (bv_clamp_pulse){c->level * charge + rest.energy,
                          tau * angle + rest.time};
}
