/* SPDX-License-Identifier: MIT */
/* Steps that cycles at constant outputs (cycle_lanes.c) and cycles in a row
 * (cycle_row.c) share, each a loop over all of them. */
#ifndef BV_MODEL_CYCLE_LANES_STEPS_H
#define BV_MODEL_CYCLE_LANES_STEPS_H

#include <math.h>

#include "model/cycle_core.h"
#include "model/cycle_lanes.h"
#include "model/lanes.h"

/* The current and the node after step 3. */
static inline void bv_lanes_release(const bv_stage *s, bv_lanes *restrict x) {
  double ceiling = s->clamp.leakage > 0 ? s->clamp.level : HUGE_VAL;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double lost = 2 * (x->clamp[i] + x->overlap[i]) * s->per_l;
    double left2 = s->peak * s->peak - lost;
    bv_lanes_demand(x, i, bv_less(left2, ceiling - x->reflected[i]));
    x->current[i] = sqrt(left2);
    x->node[i] = s->vin + x->settled[i];
    x->rise[i] = x->charge[i] = x->square[i] = x->core[i] = 0;
  }
}

static inline double bv_lanes_raised(double x, double power) {
  return bv_lane_exp(power * bv_lane_log(x));
}

/* See cycle_core.c. */
static inline void bv_lanes_lose_in_core(const bv_stage *s,
                                         bv_lanes *restrict x) {
  const bv_core_ring *r = &s->core_ring;
  double a = s->alpha, rings = s->csw > 0;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double vr = x->settled[i], mean = (x->reflected[i] + 2 * vr) / 3;
    double left2 = x->current[i] * x->current[i];
    double released2 = bv_core_released2(s, left2, vr);
    double current = sqrt(released2), released = current * r->per_peak;
    double slope = r->slope * (mean + r->drop * current);
    double loss = bv_lanes_raised(slope, a);
    double crest = bv_lanes_raised(r->slope * vr, a);
    double end = bv_core_end(s, s->on_time, released, slope);
    double ringing = end > 0 ? 0 : rings;
    double peak = bv_more(s->peak * r->per_peak, released) - end;
    double off = (released - end) / slope * loss;
    double times = peak + off + bv_core_rise_time(s, current, vr, loss) +
                   ringing * bv_core_ring_time(s, vr, crest);
    double swing = peak + ringing * r->reverse * vr;
    double whole = s->core * bv_lanes_raised(swing, s->beta - a);
    x->core[i] = bv_core_taken(s, whole, times, off, current);
    left2 -= 2 * x->core[i] * s->per_l;
    x->current[i] = sqrt(left2);
    bv_lanes_demand(x, i, bv_less(bv_less(released2, left2), vr));
  }
}

/* Step 4. */
static inline void bv_lanes_rise(const bv_stage *s, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double vr = x->reflected[i], start = s->z * x->current[i];
    double radius2 = start * start + s->vin * s->vin;
    double end2 = radius2 - vr * vr, end = sqrt(end2);
    double last2 = radius2 - x->settled[i] * x->settled[i];
    double per = 1 / radius2, sine = (vr * start + s->vin * end) * per;
    double cosine = (start * end - vr * s->vin) * per;
    double arc = bv_lane_arc(sine, cosine);
    double square =
        s->csw * s->y / 2 * (vr * end + s->vin * start + radius2 * arc);
    double left2 = s->y * s->y * last2 - 2 * s->rp * s->y * s->rate * square;
    bv_lanes_demand(x, i, bv_less(bv_less(end2, left2), cosine + 0.7));
    x->current[i] = sqrt(left2);
    x->rise[i] = s->tau * arc;
    x->charge[i] = s->csw * x->node[i];
    x->square[i] = square;
  }
}

/* Steps 1 and 2. */
static inline void bv_lanes_conduct(const bv_stage *s, bv_lanes *restrict x) {
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

#endif
