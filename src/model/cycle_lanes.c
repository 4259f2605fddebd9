/* SPDX-License-Identifier: MIT */
#include "model/cycle_lanes.h"

#include <math.h>

#include "model/cycle_core.h"
#include "model/lanes.h"

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
  }
}

/* The current and the node after step 3. */
static void release(const bv_stage *s, bv_lanes *restrict x) {
  double ceiling = s->clamp.leakage > 0 ? s->clamp.level : HUGE_VAL;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double lost = 2 * (x->clamp[i] + x->overlap[i]) * s->per_l;
    double left2 = s->peak * s->peak - lost;
    bv_lanes_demand(x, i, bv_less(left2, ceiling - x->reflected[i]));
    x->current[i] = sqrt(left2);
    x->node[i] = s->vin + x->reflected[i];
    x->rise[i] = x->charge[i] = x->square[i] = x->core[i] = 0;
  }
}

/* slope^a; its logarithm by eight is to be within +-0.8. */
static inline double raised(double slope, double a, double *eighth) {
  *eighth = a / 8 * bv_lane_log(slope);
  double part = bv_lane_exp(*eighth), part2 = part * part,
         part4 = part2 * part2;
  return part4 * part4;
}

/* See cycle_core.c. */
static void lose_in_core(const bv_stage *s, bv_lanes *restrict x) {
  const bv_core_ring *r = &s->core_ring;
  double a = s->alpha, ringing = s->csw > 0;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double vr = x->reflected[i], left2 = x->current[i] * x->current[i];
    double released2 = bv_core_released2(s, left2, vr), part[2];
    double current = sqrt(released2), released = current * r->per_peak;
    double slope = r->slope * (vr + r->drop * current);
    double loss = raised(slope, a, &part[0]);
    double crest = raised(r->slope * vr, a, &part[1]);
    double peak = bv_more(s->peak * r->per_peak, released);
    double off = released / slope * loss;
    double times = peak + off + bv_core_rise_time(s, current, vr, loss) +
                   ringing * bv_core_ring_time(s, vr, crest);
    double swing = peak + ringing * r->reverse * vr;
    double power = 2 * (s->beta - a) * bv_lane_log_near(sqrt(swing));
    double whole = s->core * bv_lane_exp(power);
    x->core[i] = bv_core_taken(s, whole, times, off, current);
    left2 -= 2 * x->core[i] * s->per_l;
    x->current[i] = sqrt(left2);
    bv_lanes_demand(x, i, bv_less(released2, left2));
    bv_lanes_demand(x, i, s->limit * r->per_on - released / slope);
    bv_lanes_demand(x, i, 0.8 - bv_more(fabs(part[0]), fabs(part[1])));
    bv_lanes_demand(x, i, bv_less(0.8 - fabs(power), 2.2 - swing));
  }
}

/* Step 4. */
static void rise(const bv_stage *s, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double vr = x->reflected[i], start = s->z * x->current[i];
    double radius2 = start * start + s->vin * s->vin;
    double end2 = radius2 - vr * vr, end = sqrt(end2);
    double sine = (vr * start + s->vin * end) / radius2;
    double cosine = (start * end - vr * s->vin) / radius2;
    double arc = bv_lane_arc(sine, cosine);
    double square =
        s->csw * s->y / 2 * (vr * end + s->vin * start + radius2 * arc);
    double left2 = s->y * s->y * end2 - 2 * s->rp * s->y * s->rate * square;
    bv_lanes_demand(x, i, bv_less(bv_less(end2, left2), cosine + 0.7));
    x->current[i] = sqrt(left2);
    x->rise[i] = s->tau * arc;
    x->charge[i] = s->csw * x->node[i];
    x->square[i] = square;
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

/* Steps 1 and 2. */
static void conduct(const bv_stage *s, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double low = x->current[i], d = s->peak - low;
    double across = 1 / (s->vin - s->rp * (low + d / 2));
    double y = s->rp * d * across / 2, h = bv_lane_excess_near(y * y);
    bv_ramp on = bv_ramp_of(s->l, s->rp, low, d, across, y, h);
    x->turn_on[i] = s->csw * x->node[i] * x->node[i] / 2;
    x->low[i] = low;
    x->on[i] = on.time;
    x->charge[i] += on.charge;
    x->square[i] += on.square;
    bv_lanes_demand(x, i, bv_less(s->ip - low, on.time - s->least_on));
    bv_lanes_demand(x, i, 0.04 - y * y);
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

static bool holds(const bv_lanes *x, size_t i) {
  return x->slack[i] > 0 && isfinite(x->on[i] + x->fall[i] + x->square[i] +
                                     x->turn_on[i] + x->core[i]);
}

BV_WIDE void bv_lanes_run(const bv_stage *s, size_t count,
                          const double *outputs, bv_cycle *cycles,
                          bool *found) {
  bv_lanes x;
  begin(s, count, outputs, &x);
  bv_lanes_turn_off(s, &x);
  release(s, &x);
  if (s->core > 0)
    lose_in_core(s, &x);
  if (s->csw > 0)
    rise(s, &x);
  pass(s, &x);
  if (s->csw > 0)
    bv_lanes_rest(s, &x);
  conduct(s, &x);
  for (size_t i = 0; i < 4 * x.fours && i < count; i++) {
    found[i] = holds(&x, i);
    if (found[i])
      lay_out(s, &x, i, &cycles[i]);
  }
}
