/* SPDX-License-Identifier: MIT */
#include "model/ringing.h"

/* Where the current of the leakage passes zero, seen from d = 0; as far as that
 * where it stays above. */
typedef struct turning {
  double angle, sine;
} turning;

static turning turning_of(const bv_ringing *r, double amplitude) {
  double cosine = amplitude > r->rest ? r->rest / amplitude : 1;
  double sine = sqrt(1 - cosine * cosine);
  return (turning){bv_lane_arc(sine, cosine), sine};
}

/* Where the body diode conducts and where the leakage's current, returned to
 * the supply, is gone: L and Cw swing in between. */
static void catch_below(const bv_clamp *c, turning trough, bv_ringing *r) {
  const bv_ringing_wave *w = &r->last;
  double over = w->amplitude / r->rest;
  double angle = bv_ringing_angle(-w->centre * r->rad, -over);
  bv_turn t = bv_lane_turn(bv_less(angle, trough.angle));
  double gone = r->current - r->rest + w->amplitude * (1 - t.versine);
  double more2 = gone * gone - r->current * r->current;
  r->caught = w->amplitude * r->z * t.sine;
  r->released =
      sqrt(r->caught * r->caught + more2 * c->leakage / c->capacitance);
}

/* What the switch's first trough changes. */
static void go_on(const bv_clamp *c, turning trough, double part,
                  bv_ringing *r) {
  const bv_ringing_wave *w = &r->last;
  double winding = w->centre + r->per * (trough.angle + w->swing * trough.sine);
  double below = r->z * w->amplitude * trough.sine;
  r->caught = r->released = w->swing > 1 ? winding : HUGE_VAL;
  r->fading = winding;
  if (below > winding) {
    catch_below(c, trough, r);
    below = r->fading = r->released;
  }
  double along = r->z * bv_less(r->rest, w->amplitude);
  double square = below * below + along * along;
  r->spent = square * part + r->own2 * r->rest * r->rest;
}

/* The clamp holds from an angle of the first ring on. */
static void hold(const bv_clamp *c, double since, bv_ringing *r) {
  double top = c->supply + c->level, amplitude = r->first.amplitude;
  bv_turn t = bv_lane_turn(since);
  double gone = r->current - r->rest - amplitude * (1 - t.versine);
  double above = amplitude * r->z * t.sine;
  double zw2 = c->leakage / c->capacitance;
  r->held = top - above;
  r->full = sqrt(above * above + zw2 * gone * gone);
  r->tau = sqrt(c->leakage * c->capacitance);
  r->most = r->full * c->capacitance / r->tau;
  r->angle = bv_lane_arc(gone / r->most, above / r->full);
  r->freed = top;
}

/* Until the leakage's current is gone, if it ever is; then it rings anew. */
static turning let_go(const bv_clamp *c, turning trough, double part,
                      bv_ringing *r) {
  bv_ringing_wave *w = &r->last;
  double sine = r->current / r->most;
  if (sine >= 1)
    return trough;
  double cosine = sqrt(1 - sine * sine), left = r->full * cosine;
  double time = r->tau * (bv_lane_arc(sine, cosine) - r->angle);
  r->freed -= left;
  r->whole =
      c->level * (r->current * time - c->capacitance * (r->freed - r->held));
  w->amplitude = sqrt(r->rest * r->rest + left * left / (r->z * r->z));
  w->swing = w->amplitude / (r->current * part);
  turning at = turning_of(r, w->amplitude);
  w->centre = r->freed + r->per * (at.angle + w->swing * at.sine);
  return at;
}

/* As long as the switch's current falls, until twice a half in angle, the form
 * of switch.h holds, and a quarter longer in part. */
static void mark_fall(double half, double sine, double top, bv_ringing *r) {
  r->share = 1;
  r->fallen = r->per * (half - r->first.swing * sine);
  r->sure = bv_more(1.25 * r->fallen, 1e-6 * top);
  r->steep = (1 + 1e-12) / (r->sure - r->fallen);
}

static void set_waves(const bv_clamp *c, double fall, double capacitance,
                      double current, bv_ringing *r) {
  double sum = capacitance + c->capacitance, part = c->capacitance / sum;
  double tau = sqrt(c->leakage * capacitance * part), half = fall / 2 / tau;
  double sine = sin(bv_less(half, BV_PI)), swing = half > 0 ? sine / half : 1;
  r->current = current;
  r->rest = current * (1 - part);
  r->z = c->leakage / tau;
  r->own2 = c->leakage / capacitance;
  r->per = current * tau / sum;
  r->rad = 1 / r->per;
  r->half = capacitance / 2;
  r->held = r->freed = HUGE_VAL;
  r->first = (bv_ringing_wave){swing * current * part, swing, BV_PI * r->per};
  r->last = r->first;
  mark_fall(half, sine, c->supply + c->level, r);
  turning trough = turning_of(r, r->first.amplitude);
  double top = (c->supply + c->level) * r->rad;
  double over = r->first.amplitude / r->rest;
  if (BV_PI - trough.angle + over * trough.sine >= top) {
    double since = bv_ringing_nearer(top, over, bv_ringing_angle(top, over));
    r->share = bv_less(1, bv_more(0, 4 * (since / half - 1)));
    hold(c, since, r);
    trough = let_go(c, trough, part, r);
  }
  go_on(c, trough, part, r);
}

void bv_ringing_make(const bv_clamp *c, double fall, double capacitance,
                     double current, bv_ringing *r) {
  r->share = 0;
  if (c->leakage > 0 && c->capacitance > 0 && capacitance > 0 && current > 0)
    set_waves(c, fall, capacitance, current, r);
}
