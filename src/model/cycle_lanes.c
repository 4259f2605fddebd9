/* SPDX-License-Identifier: MIT */
#include "model/cycle_lanes.h"

#include <math.h>

#include "model/cycle_lanes_steps.h"

bool bv_lanes_fit(const bv_stage *s) {
  double angle = s->wave.w * s->dead, fade = s->wave.a * s->dead;
  bool rings = s->wave.w2 > 0 && angle < 10 && fade < 0.8;
  return s->cs == 0 && s->lower == 0 && s->period == 0 &&
         (s->csw == 0 || rings);
}

/* The last output stands for a lacking one. */
static void begin(const bv_stage *s, size_t count, const double *outputs,
                  bv_lanes *restrict x) {
  x->fours = (count + 3) / 4;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    x->output[i] = outputs[i < count ? i : count - 1];
    x->slack[i] = 1;
    x->reflected[i] = (x->output[i] + s->drop) * s->per_n;
    x->settled[i] = x->reflected[i];
  }
}

/* Step 5, with the bend of cycle.c. */
static void pass(const bv_stage *s, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double u = x->output[i] + s->drop, current = x->current[i] * s->per_n;
    double across = 1 / (u + s->r * current / 2);
    double y = s->r * current * across / 2, h = bv_lane_excess(y * y);
    bv_ramp ramp = bv_ramp_of(s->ls, s->r, current, -current, -across, y, h);
    double share = ramp.charge * s->per_c / u;
    x->fall[i] = ramp.time / (1 + share / 6);
    x->out_charge[i] = ramp.charge;
    x->out_square[i] = ramp.square * (1 + share / 10);
    double left = s->limit - x->rise[i] - x->fall[i];
    bv_lanes_demand(x, i, bv_less(0.41 - y, left));
    x->current[i] = 0;
  }
}

static void lay_out(const bv_stage *s, const bv_lanes *x, size_t i,
                    bv_cycle *cycle) {
  bv_flow *f = &cycle->flow;
  double v = x->output[i];
  bv_cycle_clear(cycle, x->on[i]);
  cycle->rise_time = x->rise[i];
  cycle->off_time = x->rise[i] + x->fall[i];
  cycle->dead_time = s->dead;
  cycle->peak_current = s->peak;
  cycle->low_current = x->low[i];
  cycle->reflected = x->reflected[i];
  f->time = cycle->on_time + cycle->off_time + cycle->dead_time;
  f->cycles = f->turn_ons = 1;
  f->primary_charge = x->charge[i];
  f->primary_square = x->square[i];
  f->output_charge = x->out_charge[i];
  f->output_square = x->out_square[i];
  f->clamp = x->clamp[i];
  f->overlap = x->overlap[i];
  f->turn_on = x->turn_on[i];
  f->bleeder = s->bleed * v * v * f->time;
  f->core = x->core[i];
}

BV_WIDE void bv_lanes_run(const bv_stage *s, size_t count,
                          const double *outputs, bv_cycle *cycles,
                          bool *found) {
  bv_lanes x;
  begin(s, count, outputs, &x);
  bv_lanes_turn_off(s, &x);
  bv_lanes_release(s, &x);
  if (s->core > 0)
    bv_lanes_lose_in_core(s, &x);
  if (s->csw > 0)
    bv_lanes_rise(s, &x);
  pass(s, &x);
  if (s->csw > 0)
    bv_lanes_rest(s, &x);
  bv_lanes_conduct(s, &x);
  for (size_t i = 0; i < 4 * x.fours && i < count; i++) {
    found[i] = bv_lanes_hold(&x, i);
    if (found[i])
      lay_out(s, &x, i, &cycles[i]);
  }
}
