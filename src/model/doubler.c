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

bv_reason bv_doubler_recharge(const bv_stage *s, bv_state *state,
                              bv_cycle *cycle) {
  double mean = state->current, missing = 0, charge = 0;
  bv_ramp ramp = {0, state->current, 0, 0};
  for (int i = 0; i < 3; i++) {
    missing = s->n * (s->vin - s->rp * mean) - s->diode - state->series;
    if (!(missing > 0))
      return BV_REASON_OK; /* the capacitor is full: no pulse */
    charge = s->cs * (1 + s->decay) * missing;
    ramp = bv_doubler_magnetise(s, charge, state->current, s->pulse);
    mean = ramp.charge / s->pulse;
  }
  double square = s->pulse_square * missing * missing;
  cycle->on_time += ramp.time;
  cycle->flow.primary_charge += ramp.charge + s->n * charge;
  cycle->flow.primary_square +=
      ramp.square + s->n * (2 * charge * mean + s->n * square);
  cycle->flow.recharge_charge += charge;
  cycle->flow.recharge_square += square;
  cycle->pulse_charge = charge;
  cycle->recharge_peak = s->n * s->pulse_peak * missing;
  state->series += charge / s->cs;
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
  double rise = 0; /* of the capacitor, seen at the primary */
  bv_ramp ramp = {0, state->current, 0, 0};
  if (!(longest > 0))
    return 0;
  for (int i = 0; i < 3; i++) { /* at the capacitor's mean voltage */
    ramp = pull(s, level + rise / 2, state->current, longest);
    rise = -ramp.charge / (s->n * s->n * s->cs);
  }
  cycle->flow.recharge_charge -= ramp.charge / s->n;
  cycle->flow.recharge_square += ramp.square / (s->n * s->n);
  state->series += rise * s->n;
  state->current = ramp.current;
  follow(s, -rise, state, cycle);
  return ramp.time;
}
