/* SPDX-License-Identifier: MIT */
/* The recharge pulse of the half-wave doubler's series capacitor.
 *
 * At turn-on the first diode closes the loop of leakage n^2 Llk, series
 * capacitor Cs and resistance R = secondary + diode + n^2 Rp, driven by E = n
 * (Vin - Rp im) - Vd, im the magnetising current that the pulse meets: a damped
 * half sine of length pi/wd which leaves the capacitor at E + exp(-pi a/wd)(E -
 * v0). The magnetising current meanwhile sees Vin less the drop of the pulse in
 * Rp. To first order in Rp over L and over the leakage.
 *
 * Left out: at the start of a charge, while V is below about exp(-pi a/wd) n
 * Vin, the overshoot drives a further pulse through the output diode within the
 * on-time, which helps the charge a little. */
#include <math.h>

#include "base/constants.h"
#include "model/cycle.h"

bool bv_pulse_loop_make(double l, double r, double c, bv_pulse_loop *loop) {
  double a = r / (2 * l), w2 = 1 / (l * c) - a * a, w = sqrt(w2);
  if (!(w2 > 0))
    return false;
  double length = BV_PI / w, decay = exp(-BV_PI * a / w);
  *loop = (bv_pulse_loop){.length = length,
                          .damping = a,
                          .decay = decay,
                          .early = length * (0.5 - decay / (1 + decay)) -
                                   2 * a / (a * a + w2),
                          .peak = sqrt(c / l) * exp(-a / w * atan2(w, a)),
                          .peak_time = atan2(w, a) / w,
                          .resistance = r,
                          .capacitance = c};
  return true;
}

bv_ramp bv_doubler_magnetise(const bv_stage *s, double charge, double current,
                             double time) {
  double v = s->vin - s->rp * s->n * charge / s->recharge.length;
  return bv_ramp_for(s->l, v, s->rp, current, time);
}

/* The integral of exp(-a t) sin(w t) over the half wave is (1 + decay) w/(a^2 +
 * w^2). */
double bv_doubler_pulse(const bv_stage *s, double charge, double time) {
  const bv_pulse_loop *loop = &s->recharge;
  double w = BV_PI / loop->length, a = loop->damping;
  double unit = (1 + loop->decay) * w / (a * a + w * w);
  return charge / unit * exp(-a * time) * sin(w * time);
}

/* A pulse that is under way or over. */
typedef struct pulse {
  double amplitude, charge, square; /* V, A s, A2 s */
  double met;                       /* A, magnetising current it meets */
  double end;                       /* A, magnetising current after it */
} pulse;

/* Magnetising current beside a pulse that takes a charge. */
static void magnetise(const bv_stage *s, double start, pulse *p) {
  const bv_response *r = &s->magnetise;
  double v = s->vin - s->rp * s->n * p->charge / s->recharge.length;
  double mean = r->mean_keep * start + r->mean_push * v;
  p->met = mean - (s->vin - 2 * s->rp * mean) * s->recharge.early * s->per_l;
  p->end = r->keep * start + r->push * v;
}

/* The charge beside that current. The drive is `level` at the pulse's centre
 * and falls by `fall` V/s: the capacitor follows the slope R C later. */
static void find(const bv_stage *s, double start, double series, pulse *p) {
  const bv_pulse_loop *loop = &s->recharge;
  double level = s->n * (s->vin - s->rp * p->met) - s->diode;
  double fall = s->n * s->rp * (p->end - start) / loop->length;
  double lag = loop->resistance * loop->capacitance;
  double centre = loop->length / 2 - loop->early;
  p->amplitude = level + fall * (centre + lag) - series;
  p->charge = loop->capacitance *
              ((1 + loop->decay) * p->amplitude - fall * loop->length);
  double left = level - series - p->charge / (2 * loop->capacitance);
  double even = BV_PI * loop->capacitance;
  even *= even / (2 * loop->length);
  p->square = loop->resistance > 0 ? p->charge * left / loop->resistance
                                   : even * p->amplitude * p->amplitude;
}

static bv_response respond(double l, double r, double time) {
  bv_ramp kept = bv_ramp_for(l, 0, r, 1, time);
  bv_ramp pushed = bv_ramp_for(l, 1, r, 0, time);
  return (bv_response){kept.current, pushed.current, kept.charge / time,
                       pushed.charge / time};
}

/* The charge that is found is linear in the charge that was taken, with a slope
 * that two charges tell. */
void bv_doubler_prepare(bv_stage *s) {
  pulse none = {0}, some = {.charge = s->n * s->vin * s->cs};
  double taken = some.charge;
  s->magnetise = respond(s->l, s->rp, s->recharge.length);
  magnetise(s, 0, &none);
  magnetise(s, 0, &some);
  find(s, 0, 0, &none);
  find(s, 0, 0, &some);
  s->found_of_none = taken / (taken - some.charge + none.charge);
}

/* Beside a pulse that is early by `early` s against an even one the magnetising
 * current lags behind its ramp: its integral is less by Rp n q early/L, and the
 * current that the pulse meets by (Vin - 2 Rp im) early/L. Energy and flux both
 * balance with these. */
static void book_primary(const bv_stage *s, const pulse *p, double start,
                         bv_cycle *cycle) {
  double charge = p->charge, time = s->recharge.length;
  double v = s->vin - s->rp * s->n * charge / time;
  bv_ramp ramp = bv_ramp_between(s->l, v, s->rp, start, p->end - start);
  double lag = s->rp * s->n * charge * s->recharge.early * s->per_l;
  cycle->on_time += time;
  cycle->flow.primary_charge += ramp.charge - lag + s->n * charge;
  cycle->flow.primary_square += ramp.square - 2 * ramp.charge / time * lag +
                                s->n * (2 * charge * p->met + s->n * p->square);
}

/* Finds the pulse; false where there is none. */
static bool run_pulse(const bv_stage *s, double start, double series,
                      pulse *p) {
  *p = (pulse){0};
  magnetise(s, start, p);
  find(s, start, series, p);
  if (!(p->charge > 0))
    return false;
  p->charge *= s->found_of_none;
  magnetise(s, start, p);
  find(s, start, series, p);
  return true;
}

/* Whether a comparator that is blind for a time sees more than its level. */
static bool trips(const bv_stage *s, const pulse *p, double current) {
  double time = bv_more(s->blanking, s->recharge.peak_time);
  if (!(time < s->recharge.length))
    return false;
  double magnetising =
      bv_doubler_magnetise(s, p->charge, current, time).current;
  return magnetising + s->n * bv_doubler_pulse(s, p->charge, time) > s->ip;
}

bv_reason bv_doubler_recharge(const bv_stage *s, bv_state *state,
                              bv_cycle *cycle) {
  pulse p;
  if (!run_pulse(s, state->current, state->series, &p))
    return BV_REASON_OK;
  if (trips(s, &p, state->current))
    return BV_REASON_COMPARATOR_TRIP;
  book_primary(s, &p, state->current, cycle);
  state->current = p.end;
  cycle->pulse_charge = p.charge;
  cycle->recharge_peak = s->n * s->recharge.peak * p.amplitude;
  cycle->flow.recharge_charge += p.charge;
  cycle->flow.recharge_square += p.square;
  state->series += p.charge / s->cs;
  return BV_REASON_OK;
}

/* The node follows the capacitor by a step; its energy comes from the current.
 */
static void follow(const bv_stage *s, double step, bv_state *state,
                   bv_cycle *cycle) {
  double node = state->node + step;
  double energy = s->csw * step * ((node + state->node) / 2 - s->vin);
  double i2 = state->current * state->current - 2 * energy / s->l;
  if (!(i2 > 0) || state->current == 0)
    return;
  state->current = copysign(sqrt(i2), state->current);
  state->node = node;
  cycle->flow.primary_charge += s->csw * step;
}

/* The current falls as in step 5, but into the series capacitor; where that is
 * reversed it rises first. */
double bv_doubler_catch(const bv_stage *s, double level, double longest,
                        bv_state *state, bv_cycle *cycle) {
  double u = level * s->n, i = -state->current / s->n;
  if (!(longest > 0))
    return 0;
  bv_off off = bv_off_time(&s->caught, u, i) <= longest
                   ? bv_off_full(&s->caught, u, i)
                   : bv_off_for(&s->caught, u, i, longest);
  cycle->flow.recharge_charge += off.charge;
  cycle->flow.recharge_square += off.square;
  state->series += off.charge / s->cs;
  state->current = -off.current * s->n;
  follow(s, -off.charge / (s->n * s->cs), state, cycle);
  return off.time;
}

/* The series capacitor at turn-off of a cycle that repeats itself, with the
 * recharge damped and step 5 not: v = E + d/(1+d) q, E full, q = Q/Cs = [U +
 * sqrt(U^2 + (1-d)/(1+d) Vz^2)] (1+d)/(1-d), U = E - V - Vd, Vz = Ip
 * sqrt(L/Cs). A volt more at turn-off becomes d u/sqrt(u^2 + Vz^2) less after a
 * turn, u = V + Vd - v. */
double bv_doubler_guess(const bv_stage *s, double output, double *slope) {
  double full = s->n * s->vin - s->diode, u = full - output - s->drop;
  double decay = s->recharge.decay, left = (1 - decay) / (1 + decay);
  double vz2 = s->peak * s->peak * s->l / s->cs;
  double root = sqrt(u * u + left * vz2);
  double q = u > 0 ? (u + root) / left : vz2 / (root - u);
  double v = full + decay / (1 + decay) * q, above = output + s->drop - v;
  *slope = -1 - decay * bv_more(above, 0) / sqrt(above * above + vz2);
  return v;
}
