/* SPDX-License-Identifier: MIT */
/* The loss of the core in a cycle, as a share of that of a standard one. */
#include <math.h>

#include "model/cycle_core.h"

static const double near = 0.08; /* the series holds 4e-10 */

void bv_power_make(double exponent, bv_power *power) {
  double term = 1;
  power->exponent = exponent;
  for (int i = 0; i < BV_POWER_TERMS; i++)
    power->terms[i] = term *= (exponent - i) / (i + 1);
}

/* (1 + x)^p for a small x, by the binomial series. */
static inline double near_one(const bv_power *p, double x) {
  const double *t = p->terms;
  double x2 = x * x;
  return 1 + x * (t[0] + x * t[1] +
                  x2 * (t[2] + x * t[3] + x2 * (t[4] + x * t[5])));
}

/* ratio^p from that of a ratio nearby, or of one. */
static double power(double ratio, const bv_power *p, bv_power_base *base) {
  if (fabs(ratio - 1) < near)
    return near_one(p, ratio - 1);
  double x = ratio * base->inverse - 1;
  if (fabs(x) < near)
    return base->power * near_one(p, x);
  *base = (bv_power_base){1 / ratio, exp(p->exponent * log(ratio))};
  return base->power;
}

/* Losses of the core in one cycle: improved generalised Steinmetz equation (K.
 * Venkatachalam, C. R. Sullivan, T. Abdallah, H. Tacca, IEEE Workshop on
 * Computers in Power Electronics, 2002), ki dB^(b-a) times the integral of
 * |dB/dt|^a. In step 6 the flux swings on below zero, by Vr/Z of current: a
 * tenth to a half of the peak in designs of high ratio. Slopes are straight in
 * on- and off-time, a cosine in the ring; further rings of a long wait, smaller
 * loops that damping soon ends, are left out.
 *
 * Where the target stops a charge in the middle of step 5, the current flows on
 * and the flux comes down as in any other cycle: the loss is that of the whole
 * one. */
double bv_cycle_core(const bv_stage *s, const bv_cycle *c, bv_core_base *base) {
  double unit = s->core_ring.per_peak;
  double rise = bv_more(0, (c->peak_current - c->low_current) * unit);
  double swing = (c->peak_current - c->end_current) * unit;
  double on = c->on_time * s->core_ring.per_on;
  double off = c->fall_time * s->core_ring.per_on;
  double slope = bv_more(0, c->fall_current * unit / off);
  double loss = power(slope, &s->slopes, &base->fall);
  double vr = bv_more(c->reflected, 0);
  double times = on * power(rise / on, &s->slopes, &base->rise) + off * loss +
                 bv_core_rise_time(s, c->rise_time, vr, loss);
  if (c->end_current == 0 && s->csw > 0 && c->reflected > 0) {
    swing += s->core_ring.reverse * c->reflected;
    double above = s->core_ring.slope * vr / slope;
    double crest = loss * power(above, &s->slopes, &base->ring);
    times += bv_core_ring_time(s, vr, crest);
  }
  swing = bv_more(rise, swing);
  if (!(swing > 0))
    return 0;
  return s->core * times * power(swing, &s->swings, &base->swing);
}
