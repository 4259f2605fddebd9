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
 * on- and off-time, straight falls of voltage in step 4, a cosine in the ring;
 * further rings of a long wait, smaller loops that damping soon ends, are left
 * out. The cycle is taken to begin where it ends.
 *
 * It is told at turn-off and taken from the inductance there, as clamp and
 * overlap: in the on-time the core's current trips the comparator early, in the
 * off-time it is missing at the output. Where the target stops a charge in the
 * middle of step 5, the flux comes down as in any other cycle. */
double bv_cycle_core(const bv_stage *s, const bv_cycle *c, double left2,
                     double reflected, double settled, bv_core_base *base) {
  const bv_core_ring *r = &s->core_ring;
  double vr = bv_more(settled, 0), mean = (reflected + 2 * settled) / 3;
  double current = sqrt(bv_more(0, bv_core_released2(s, left2, settled)));
  double released = current * r->per_peak;
  double slope = r->slope * (mean + r->drop * current);
  if (!(released > 0 && slope > 0))
    return 0;
  double end = bv_core_end(s, c->on_time, released, slope);
  double loss = power(slope, &s->slopes, &base->fall);
  double swing = bv_more(c->peak_current * r->per_peak, released) - end;
  double off = (released - end) / slope * loss;
  double times = swing + off + bv_core_rise_time(s, current, vr, loss);
  if (end == 0 && s->csw > 0 && vr > 0) {
    double crest = power(r->slope * vr, &s->slopes, &base->ring);
    times += bv_core_ring_time(s, vr, crest);
    swing += r->reverse * vr;
  }
  if (!(swing > 0))
    return 0;
  double whole = s->core * power(swing, &s->swings, &base->swing);
  return bv_core_taken(s, whole, times, off, current);
}
