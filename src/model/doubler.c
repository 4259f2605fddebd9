/* SPDX-License-Identifier: MIT */
/* The recharge pulse of the half-wave doubler's series capacitor.
 *
 * At turn-on the first diode closes the loop of leakage n^2 Llk, series
 * capacitor Cs and resistance Rr = secondary + diode + n^2 Rp, driven by E = n
 * (Vin - Rp im) - Vd, im the mean magnetising current: a damped half sine of
 * length pi/wd which leaves the capacitor at E + exp(-pi a/wd)(E - v0). The
 * magnetising current meanwhile sees Vin less the drop of the pulse in Rp. */
#include <math.h>

#include "base/constants.h"
#include "model/cycle.h"

bv_ramp bv_doubler_magnetise(const bv_stage *s, double charge, double current,
                             double time) {
  double v = s->vin - s->rp * s->n * charge / s->pulse;
  return bv_ramp_for(s->l, v, s->rp, current, time);
}

/* The integral of exp(-a t) sin(w t) over the half wave is (1 + decay) w/(a^2 +
 * w^2). */
double bv_doubler_pulse(const bv_stage *s, double charge, double time) {
  double w = BV_PI / s->pulse, a = s->pulse_damping;
  double unit = (1 + s->decay) * w / (a * a + w * w);
  return charge / unit * exp(-a * time) * sin(w * time);
}

/* Beside a pulse that is early by `early` s against an even one the magnetising
 * current lags behind its ramp: its integral is less by Rp n q early/L, and the
 * current that the pulse meets by (Vin - 2 Rp im) early/L. Energy and flux both
 * balance with these. */
static void book_pulse(const bv_stage *s, const bv_ramp *ramp, double charge,
                       double met, double square, bv_cycle *cycle) {
  double mean = ramp->charge / s->pulse;
  double lag = s->rp * s->n * charge * s->pulse_early / s->l;
  bv_flow *f = &cycle->flow;
  f->primary_charge += ramp->charge - lag + s->n * charge;
  f->primary_square +=
      ramp->square - 2 * mean * lag + s->n * (2 * charge * met + s->n * square);
  f->recharge_charge += charge;
  f->recharge_square += square;
}

/* The pulse where the drive is `level` at the pulse's centre and falls by
 * `fall` V/s: the capacitor follows the slope Rr Cs later. */
typedef struct pulse {
  double amplitude, charge, square; /* V, A s, A2 s */
} pulse;

static pulse pulse_of(const bv_stage *s, double level, double fall,
                      double series) {
  double lag = s->rr * s->cs, centre = s->pulse / 2 - s->pulse_early;
  double amplitude = level + fall * (centre + lag) - series;
  double charge = s->cs * ((1 + s->decay) * amplitude - fall * s->pulse);
  double lost = charge * (level - series - charge / (2 * s->cs));
  return (pulse){amplitude, charge,
                 s->rr > 0 ? lost / s->rr
                           : s->pulse_square * amplitude * amplitude};
}

bv_reason bv_doubler_recharge(const bv_stage *s, bv_state *state,
                              bv_cycle *cycle) {
  double met = state->current, fall = 0;
  bv_ramp ramp = {0, state->current, 0, 0};
  pulse p = {0, 0, 0};
  double change = HUGE_VAL;
  for (int i = 0; i < 20 && fabs(change) > 1e-10 * s->ip; i++) {
    double level = s->n * (s->vin - s->rp * met) - s->diode;
    p = pulse_of(s, level, fall, state->series);
    if (!(p.charge > 0))
      return BV_REASON_OK; /* the capacitor is full: no pulse */
    ramp = bv_doubler_magnetise(s, p.charge, state->current, s->pulse);
    double mean = ramp.charge / s->pulse;
    double next = mean - (s->vin - 2 * s->rp * mean) * s->pulse_early / s->l;
    change = next - met;
    met = next;
    fall = s->n * s->rp * (ramp.current - state->current) / s->pulse;
  }
  book_pulse(s, &ramp, p.charge, met, p.square, cycle);
  cycle->on_time += ramp.time;
  cycle->pulse_charge = p.charge;
  cycle->recharge_peak = s->n * s->pulse_peak * p.amplitude;
  state->series += p.charge / s->cs;
  state->current = ramp.current;
  return BV_REASON_OK;
}

/* Current to zero or for the longest time against a voltage; where the series
 * capacitor is reversed the voltage drives the current on. */
static bv_ramp pull(const bv_stage *s, double v, double i, double longest) {
  double r = s->rs / (s->n * s->n);
  if (v > 0) {
    bv_ramp ramp = bv_ramp_to(s->l, v, r, i, 0);
    if (ramp.time <= longest)
      return ramp;
  }
  return bv_ramp_for(s->l, v, r, i, longest);
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

double bv_doubler_catch(const bv_stage *s, double level, double longest,
                        bv_state *state, bv_cycle *cycle) {
  double rise = 0, change = HUGE_VAL; /* of the capacitor, at the primary */
  bv_ramp ramp = {0, state->current, 0, 0};
  if (!(longest > 0))
    return 0;
  /* At the capacitor's mean voltage. */
  for (int i = 0; i < 30 && fabs(change) > 1e-11 * s->vin; i++) {
    ramp = pull(s, level + rise / 2, state->current, longest);
    change = -ramp.charge / (s->n * s->n * s->cs) - rise;
    rise += change;
  }
  cycle->flow.recharge_charge -= ramp.charge / s->n;
  cycle->flow.recharge_square += ramp.square / (s->n * s->n);
  state->series += rise * s->n;
  state->current = ramp.current;
  follow(s, -rise, state, cycle);
  return ramp.time;
}
