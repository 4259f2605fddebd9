/* SPDX-License-Identifier: MIT */
/* Step 6 for many outputs. Without limits to the frequency the wait is the same
 * for all; a node that does not come down to zero volts does what the stage's
 * ring does. One that does is caught there by the body diode: the current comes
 * back along the supply, and what time is left another ring begins. */
#include <math.h>

#include "model/cycle_lanes.h"
#include "model/lanes.h"

/* The fours in which a ring is caught, one after another; an angle is of the
 * wave without damping, `grown` what the damping has taken by it. What the
 * others among them come to doesn't count. */
typedef struct caught {
  size_t fours, of[BV_CYCLE_EACH_MOST / 4]; /* where each is in bv_lanes */
  bv_lane vr, ratio, slack; /* V, reflected; of the supply to it; as there */
  bv_lane angle, cosine, sine, grown;
  bv_lane left;                          /* s */
  bv_lane current, node, charge, square; /* as in bv_lanes */
} caught;

static inline bool is_caught(const bv_stage *s, double vr) {
  return s->vin < vr * s->ring_low;
}

static void gather(const bv_stage *s, const bv_lanes *x, caught *restrict c) {
  c->fours = 0;
  for (size_t four = 0; four < x->fours; four++) {
    double most = 0;
    for (size_t k = 0; k < 4; k++) {
      size_t i = 4 * four + k, to = 4 * c->fours + k;
      c->vr[to] = x->settled[i];
      c->charge[to] = x->charge[i];
      c->square[to] = x->square[i];
      c->slack[to] = x->slack[i];
      most = bv_more(most, x->settled[i]);
    }
    c->of[c->fours] = four;
    c->fours += is_caught(s, most);
  }
}

/* The instant at which a ring without damping would come to zero volts. */
static void guess(const bv_stage *s, caught *restrict c) {
  double damping = s->wave.a / s->wave.w;
  for (size_t i = 0; i < 4 * c->fours; i++) {
    double ratio = s->vin / c->vr[i], root = sqrt(1 - ratio * ratio);
    double angle = BV_PI / 2 + bv_lane_arc(ratio, root);
    c->ratio[i] = ratio;
    c->angle[i] = angle;
    c->cosine[i] = -ratio;
    c->sine[i] = root;
    c->grown[i] = bv_lane_exp_near(damping * angle);
  }
}

static inline void demand(caught *restrict c, size_t i, double margin) {
  c->slack[i] = bv_less(margin, c->slack[i]);
}

/* By one of Halley's steps nearer to where cosine + damping sine is -ratio
 * times grown; the last of them is to be small, none to pass the lowest point,
 * where a ring only grazes zero volts. */
static void approach(const bv_stage *s, double largest, caught *restrict c) {
  double damping = s->wave.a / s->wave.w, unit = 1 + damping * damping;
  for (size_t i = 0; i < 4 * c->fours; i++) {
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
    demand(c, i, bv_less(largest - fabs(step), c->sine[i]));
  }
}

static void arrive(const bv_stage *s, caught *restrict c) {
  double per_w = 1 / s->wave.w;
  for (size_t i = 0; i < 4 * c->fours; i++) {
    double vr = c->vr[i], time = c->angle[i] * per_w;
    double given = bv_more(c->sine[i] / c->grown[i] * s->per_l * per_w, 0);
    c->left[i] = s->dead - time;
    c->current[i] = -vr * given;
    c->square[i] +=
        vr * vr * bv_ring_square(s, time, -c->ratio[i], s->z * given);
    demand(c, i, c->left[i]);
  }
}

/* Until the current is zero or the time is over. */
static void come_back(const bv_stage *s, caught *restrict c) {
  for (size_t i = 0; i < 4 * c->fours; i++) {
    double current = c->current[i], left = c->left[i];
    double fade = s->rp * left * s->per_l;
    double rest =
        (s->vin - s->rp * current) * left * s->per_l * bv_lane_growth(-fade);
    double d = bv_less(rest, -current);
    double across = 1 / (s->vin - s->rp * (current + d / 2));
    double y = s->rp * d * across / 2, h = bv_lane_excess_near(y * y);
    bv_ramp ramp = bv_ramp_of(s->l, s->rp, current, d, across, y, h);
    c->left[i] = rest < -current ? 0 : left - ramp.time;
    c->current[i] = ramp.current;
    c->charge[i] += ramp.charge;
    c->square[i] += ramp.square;
    demand(c, i, bv_less(0.1 - fade, 0.04 - y * y));
  }
}

/* From zero volts, for what time is left. */
static void ring_again(const bv_stage *s, caught *restrict c) {
  double per_w = 1 / s->wave.w;
  for (size_t i = 0; i < 4 * c->fours; i++) {
    double time = c->left[i], angle = s->wave.w * time;
    bv_turn t = bv_lane_turn(angle);
    double fade = bv_lane_exp_near(-s->wave.a * time),
           sine = fade * t.sine * per_w;
    double u = fade * (1 - t.versine) + s->wave.a * sine, y = sine * s->per_l;
    double square = bv_ring_square(s, time, u, s->z * y);
    c->node[i] = s->vin - s->vin * u;
    c->current[i] += s->vin * y;
    c->charge[i] += s->csw * (c->node[i] - (s->vin + c->vr[i]));
    c->square[i] += s->vin * s->vin * square;
    demand(c, i, 8 - angle);
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
static void scatter(const bv_stage *s, const caught *c, bv_lanes *restrict x) {
  for (size_t four = 0; four < c->fours; four++)
    for (size_t k = 0; k < 4; k++) {
      size_t from = 4 * four + k, i = 4 * c->of[four] + k;
      bool is = is_caught(s, c->vr[from]);
      x->current[i] = is ? c->current[from] : x->current[i];
      x->charge[i] = is ? c->charge[from] : x->charge[i];
      x->square[i] = is ? c->square[from] : x->square[i];
      x->node[i] = is ? c->node[from] : x->node[i];
      x->slack[i] = is ? c->slack[from] : x->slack[i];
    }
}

BV_WIDE void bv_lanes_rest(const bv_stage *s, bv_lanes *restrict x) {
  caught c;
  gather(s, x, &c);
  guess(s, &c);
  approach(s, 0.4, &c);
  approach(s, 0.1, &c);
  approach(s, 1e-4, &c);
  arrive(s, &c);
  come_back(s, &c);
  ring_again(s, &c);
  ring(s, x);
  scatter(s, &c, x);
}
