/* SPDX-License-Identifier: MIT */
/* The loss of the core in a cycle, as a share of that of a standard one. */
#include <math.h>

#include "model/cycle.h"

/* (1 + x)^p for a small x, by the binomial series. */
static double power_near_one(double x, double p) {
  double t0 = p * x, t1 = (p - 1) * x / 2, t2 = (p - 2) * x * (1.0 / 3),
         t3 = (p - 3) * x / 4, t4 = (p - 4) * x * (1.0 / 5),
         t5 = (p - 5) * x * (1.0 / 6);
  return 1 + t0 * (1 + t1 * (1 + t2 * (1 + t3 * (1 + t4 * (1 + t5)))));
}

/* ratio^p from that of a ratio nearby, or of one. */
static double power(double ratio, double p, bv_power_base *base) {
  static const double near = 0.08; /* the series holds 4e-10 */
  if (ratio == 1)
    return 1;
  if (fabs(ratio - 1) < near)
    return power_near_one(ratio - 1, p);
  double x = ratio * base->inverse - 1;
  if (fabs(x) < near)
    return base->power * power_near_one(x, p);
  *base = (bv_power_base){1 / ratio, exp(p * log(ratio))};
  return base->power;
}

/* Losses of the core in one cycle: improved generalised Steinmetz equation for
 * a triangle of flux (K. Venkatachalam, C. R. Sullivan, T. Abdallah, H. Tacca,
 * IEEE Workshop on Computers in Power Electronics, 2002). The flux is taken as
 * unipolar: the little it swings below zero in step 6 is left out. Where the
 * target stops a charge in the middle of step 5, the current flows on and the
 * flux comes down as in any other cycle: the loss is that of the whole one. */
double bv_cycle_core(const bv_stage *s, const bv_cycle *c, bv_core_base *base) {
  double swing = (c->peak_current - bv_more(c->low_current, 0)) / s->peak;
  double times = power(c->on_time / s->on_time, 1 - s->alpha, &base->on) +
                 power(c->fall_time / s->on_time, 1 - s->alpha, &base->off);
  return s->core * power(swing, s->beta, &base->swing) * times;
}
