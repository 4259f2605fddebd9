/* SPDX-License-Identifier: MIT */
/* Step 6 for many outputs. Without limits to the frequency the wait is the same
 * for all; a node that does not come down to zero volts does what the stage's
 * ring does. One that does is caught there by the body diode: the current comes
 * back along the supply, and what time is left another ring begins. */
#include <math.h>

#include "model/cycle_lanes.h"
#include "model/lanes.h"

/* Rings that were caught; an angle is of the wave without damping, `grown` what
 * the damping has taken by it. */
typedef struct caught {
  bv_lane ratio; /* of supply and reflected voltage */
  bv_lane angle, cosine, sine, grown;
  bv_lane left;                          /* s */
  bv_lane current, node, charge, square; /* as in bv_lanes */
} caught;

/* The instant at which a ring without damping would come to zero volts. */
static void guess(const bv_stage *s, const bv_lanes *x, caught *restrict c) {
  double damping = s->wave.a / s->wave.w;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double ratio = s->vin / x->settled[i], root = sqrt(1 - ratio * ratio);
    double angle = BV_PI / 2 + bv_lane_arc(ratio, root);
    c->ratio[i] = ratio;
    c->angle[i] = angle;
    c->cosine[i] = -ratio;
    c->sine[i] = root;
    c->grown[i] = bv_lane_exp(damping * angle);
  }
}

/* By one of Halley's steps nearer to where cosine + damping sine is -ratio
 * times grown; the last of them is to be small, none to pass the lowest point,
 * where a ring only grazes zero volts. */
static void approach(const bv_stage *s, double largest, bv_lanes *restrict x,
                     caught *restrict c) {
  double damping = s->wave.a / s->wave.w, unit = 1 + damping * damping;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double cosine = c->cosine[i], sine = c->sine[i], grown = c->grown[i];
    double above = cosine + damping * sine + c->ratio[i] * grown;
    double bend = above / 2 * (cosine - damping * sine);
    double step = above * sine / (unit * sine * sine + bend);
    bv_turn t = bv_lane_small_turn(step);
    double more = damping * step;
    c->angle[i] += step;
    c->cosine[i] = cosine - cosine * t.versine - sine * t.sine;
    c->sine[i] = sine - sine * t.versine + cosine * t.sine;
    c->grown[i] = grown + grown * more * bv_lane_growth(more);
    double margin = bv_less(largest - fabs(step), c->sine[i]);
    bv_lanes_demand(x, i, c->ratio[i] < s->ring_low ? margin : x->slack[i]);
  }
}

static void arrive(const bv_stage *s, bv_lanes *restrict x,
                   caught *restrict c) {
  double per_w = 1 / s->wave.w;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double vr = x->settled[i], time = c->angle[i] * per_w;
    double given = bv_more(c->sine[i] / c->grown[i] * s->per_l * per_w, 0);
    c->left[i] = s->dead - time;
    c->current[i] = -vr * given;
    c->square[i] =
        vr * vr * bv_ring_square(s, time, -c->ratio[i], s->z * given);
    bv_lanes_demand(x, i, c->ratio[i] < s->ring_low ? c->left[i] : x->slack[i]);
  }
}

/* Until the current is zero or the time is over. */
static void come_back(const bv_stage *s, bv_lanes *restrict x,
                      caught *restrict c) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double current = c->current[i], left = c->left[i];
    double fade = s->rp * left * s->per_l;
    double rest =
        (s->vin - s->rp * current) * left * s->per_l * bv_lane_growth(-fade);
    double d = bv_less(rest, -current);
    double across = 1 / (s->vin - s->rp * (current + d / 2));
    double y = s->rp * d * across / 2, h = bv_lane_excess_near(y * y);
    bv_ramp ramp = bv_ramp_of(s->l, s->rp, current, d, across, y, h);
    double margin = bv_less(0.1 - fade, 0.04 - y * y);
    c->left[i] = rest < -current ? 0 : left - ramp.time;
    c->current[i] = ramp.current;
    c->charge[i] = ramp.charge;
    c->square[i] += ramp.square;
    bv_lanes_demand(x, i, c->ratio[i] < s->ring_low ? margin : x->slack[i]);
  }
}

/* From zero volts, for what time is left. */
static void ring_again(const bv_stage *s, bv_lanes *restrict x,
                       caught *restrict c) {
  double per_w = 1 / s->wave.w;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double time = c->left[i], angle = s->wave.w * time;
    bv_turn t = bv_lane_turn(angle);
    double fade = bv_lane_exp(-s->wave.a * time), sine = fade * t.sine * per_w;
    double u = fade * (1 - t.versine) + s->wave.a * sine, y = sine * s->per_l;
    double square = bv_ring_square(s, time, u, s->z * y);
    c->node[i] = s->vin - s->vin * u;
    c->current[i] += s->vin * y;
    c->charge[i] += s->csw * (c->node[i] - x->node[i]);
    c->square[i] += s->vin * s->vin * square;
    bv_lanes_demand(x, i, c->ratio[i] < s->ring_low ? 8 - angle : x->slack[i]);
  }
}

static void ring(const bv_stage *s, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double vr = x->settled[i], node = s->vin + vr * s->ring.voltage;
    x->current[i] = -vr * s->ring.current;
    x->charge[i] += s->csw * (node - x->node[i]);
    x->square[i] += vr * vr * s->ring.square;
    x->node[i] = node;
  }
}

/* What the caught ones do instead of the ring alone. */
static void take(const bv_stage *s, const caught *c, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double vr = x->settled[i], node = s->vin + vr * s->ring.voltage;
    double charge = s->csw * (node - x->node[i]);
    double square = vr * vr * s->ring.square, current = -vr * s->ring.current;
    bool is = c->ratio[i] < s->ring_low;
    x->current[i] = is ? c->current[i] : current;
    x->charge[i] += is ? c->charge[i] : charge;
    x->square[i] += is ? c->square[i] : square;
    x->node[i] = is ? c->node[i] : node;
  }
}

static double highest(const bv_lanes *x) {
  double most = x->settled[0];
  for (size_t i = 1; i < 4 * x->fours; i++)
    most = bv_more(most, x->settled[i]);
  return most;
}

BV_WIDE void bv_lanes_rest(const bv_stage *s, bv_lanes *restrict x) {
  if (!(highest(x) * s->ring_low > s->vin)) {
    ring(s, x);
    return;
  }
  caught c;
  guess(s, x, &c);
  approach(s, 0.4, x, &c);
  approach(s, 0.1, x, &c);
  approach(s, 1e-4, x, &c);
  arrive(s, x, &c);
  come_back(s, x, &c);
  ring_again(s, x, &c);
  take(s, &c, x);
}
