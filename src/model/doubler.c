/* SPDX-License-Identifier: MIT */
/* The recharge pulse of the half-wave doubler's series capacitor.
 *
 * At turn-on the first diode closes the loop of leakage n^2 Llk, series
 * capacitor Cs and resistance Rr = secondary + diode + n^2 Rp, driven by E = n
 * (Vin - Rp im) - Vd, im the mean magnetising current: a damped half sine of
 * length pi/wd which leaves the capacitor at E + exp(-pi a/wd)(E - v0). The
 * magnetising current meanwhile sees Vin less the drop of the pulse in Rp. */
#include <math.h>

#include "model/cycle.h"
#include "model/cycle_ramp.h"

static bv_ramp magnetise(const bv_stage *s, double charge, double current) {
  double v = s->vin - s->rp * s->n * charge / s->pulse;
  return bv_ramp_for(s->l, v, s->rp, current, s->pulse);
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
    ramp = magnetise(s, charge, state->current);
    mean = ramp.charge / s->pulse;
  }
  double square = s->pulse_square * missing * missing;
  cycle->on_time += ramp.time;
  cycle->flow.primary_charge += ramp.charge + s->n * charge;
  cycle->flow.primary_square +=
      ramp.square + s->n * (2 * charge * mean + s->n * square);
  cycle->flow.recharge_charge += charge;
  cycle->flow.recharge_square += square;
  cycle->recharge_peak = s->n * s->pulse_peak * missing;
  state->series += charge / s->cs;
  state->current = ramp.current;
  return BV_REASON_OK;
}

double bv_doubler_catch(const bv_stage *s, double level, double longest,
                        bv_state *state, bv_cycle *cycle) {
  double r = s->rs / (s->n * s->n), rise = 0;
  bv_ramp ramp = {0, 0, 0, 0};
  for (int i = 0; i < 2; i++) { /* at the capacitor's mean voltage */
    ramp = bv_ramp_to(s->l, level + rise / 2, r, state->current, 0);
    if (ramp.time > longest)
      ramp = bv_ramp_for(s->l, level + rise / 2, r, state->current, longest);
    rise = -ramp.charge / (s->n * s->n * s->cs);
  }
  cycle->flow.recharge_charge -= ramp.charge / s->n;
  cycle->flow.recharge_square += ramp.square / (s->n * s->n);
  state->series -= ramp.charge / (s->n * s->cs);
  state->current = ramp.current;
  return ramp.time;
}
