/* SPDX-License-Identifier: MIT */
/* Steps 3, 4 and 6: clamp, overlap, and the ring of inductance and node. In
 * the plane of (vd - Vin, Z i) an undamped ring is a circle: times are angles,
 * and the integral of i^2 is the area of a sector and its triangles. */
#include <math.h>

#include "base/constants.h"
#include "model/cycle.h"

/* atan2(y, x) without a library call where the angle is small. */
static double angle(double y, double x) {
  double ratio = y / x;
  if (x > 0 && fabs(ratio) < 0.2)
    return ratio * (1 - ratio * ratio * bv_ramp_excess(-ratio * ratio));
  return atan2(y, x);
}

/* Up to the reflected voltage; the energy is that for `settled`, to which the
 * doubler's series capacitor carries the node during step 5. */
static bv_reason rise(const bv_stage *s, double reflected, double settled,
                      double current2, bv_state *state, bv_cycle *cycle) {
  double vr = bv_more(reflected, -s->vin), start2 = s->z * s->z * current2;
  double radius2 = start2 + s->vin * s->vin, end2 = radius2 - vr * vr;
  double last2 = radius2 - settled * settled;
  if (!(end2 > 0))
    return BV_REASON_STALL;
  double start = sqrt(start2), end = sqrt(end2);
  double arc = angle(vr * start + s->vin * end, start * end - vr * s->vin);
  double square =
      s->csw * s->y / 2 * (vr * end + s->vin * start + radius2 * arc);
  double left2 = s->y * s->y * last2 - 2 * s->rp * s->y * s->rate * square;
  if (!(left2 > 0))
    return BV_REASON_STALL;
  state->current = sqrt(left2);
  state->node = s->vin + settled;
  cycle->rise_time = s->tau * arc;
  cycle->flow.primary_charge += s->csw * state->node;
  cycle->flow.primary_square += square;
  return BV_REASON_OK;
}

/* Most cycles end at the same current. */
bv_turn_off bv_cycle_turn_off(const bv_stage *s, double current,
                              double reflected) {
  if (current == s->swing.current)
    return bv_turn_off_of(&s->clamp, &s->swing, &s->ringing, s->fall, s->beside,
                          reflected);
  return bv_turn_off_take(&s->clamp, s->fall, s->beside, current, reflected);
}

bv_reason bv_cycle_release(const bv_stage *s, double reflected, double settled,
                           bv_state *state, bv_cycle *cycle) {
  double i = state->current;
  cycle->peak_current = i;
  cycle->reflected = settled;
  cycle->rise_time = 0;
  if (s->clamp.leakage > 0 && s->clamp.level <= reflected)
    return BV_REASON_CLAMP_BELOW_REFLECTED;
  bv_turn_off off = bv_cycle_turn_off(s, i, reflected);
  double left2 = i * i - 2 * (off.clamp + off.overlap) * s->per_l;
  if (s->core > 0) {
    double core =
        bv_cycle_core(s, cycle, left2, reflected, settled, &state->core);
    cycle->flow.core += core;
    left2 -= 2 * core * s->per_l;
  }
  if (!(left2 > 0))
    return BV_REASON_STALL;
  cycle->flow.clamp += off.clamp;
  cycle->flow.overlap += off.overlap;
  state->node = s->vin + settled;
  if (s->csw > 0)
    return rise(s, reflected, settled, left2, state, cycle);
  state->current = sqrt(left2);
  return BV_REASON_OK;
}

bv_ring bv_ring_from_rest(const bv_stage *s, double time) {
  double c, sn;
  bv_damped_at(&s->wave, time, &c, &sn);
  bv_ring ring = {c + s->wave.a * sn, sn * s->per_l, 0};
  ring.square = bv_ring_square(s, time, ring.voltage, s->z * ring.current);
  return ring;
}

/* Lets the node, at rest at vd = Vin + from, ring. */
static void ring_on(const bv_stage *s, double from, const bv_ring *ring,
                    bv_state *state, bv_cycle *cycle) {
  double node = s->vin + from * ring->voltage;
  cycle->flow.primary_charge += s->csw * (node - state->node);
  cycle->flow.primary_square += from * from * ring->square;
  state->node = node;
  state->current = -from * ring->current;
}

static bv_ramp ramp_to_zero(double l, double v, double r, double i,
                            double longest) {
  bv_ramp ramp = bv_ramp_to(l, v, r, i, 0);
  return ramp.time > longest ? bv_ramp_for(l, v, r, i, longest) : ramp;
}

/* The body diode conducts: the current returns to the supply. */
static double return_ramp(const bv_stage *s, double longest, bv_state *state,
                          bv_cycle *cycle) {
  bv_ramp ramp = ramp_to_zero(s->l, s->vin, s->rp, state->current, longest);
  cycle->flow.primary_charge += ramp.charge;
  cycle->flow.primary_square += ramp.square;
  state->current = ramp.current;
  return ramp.time;
}

/* The ring at a time; five terms of its Taylor series from a base that is near,
 * else in full, which then becomes the base. With y = Z current, in units of
 * tau: x' = -y, y' = x - (Rp/Z) y. */
static bv_ring ring_near(const bv_stage *s, double time, bv_ring_base *base) {
  double h = (time - base->time) * s->rate;
  base->last = time;
  if (!(base->time > 0 && fabs(h) < 0.04)) {
    bv_ring ring = bv_ring_from_rest(s, time);
    *base = (bv_ring_base){time, ring.voltage, ring.current, time};
    return ring;
  }
  double x = base->voltage, y = s->z * base->current, d = s->rp * s->y;
  if (h == 0) /* so after each first guess */
    return (bv_ring){x, y * s->y, 0};
  double y1 = x - d * y, y2 = -y - d * y1, y3 = -y1 - d * y2, y4 = -y2 - d * y3,
         y5 = -y3 - d * y4;
  double h2 = h / 2, h3 = h * (1.0 / 3), h4 = h / 4, h5 = h / 5;
  x -= h * (y + h2 * (y1 + h3 * (y2 + h4 * (y3 + h5 * y4))));
  y += h * (y1 + h2 * (y2 + h3 * (y3 + h4 * (y4 + h5 * y5))));
  return (bv_ring){x, y * s->y, 0};
}

/* The instant at which a ring from rest, were it not damped, has come to -ratio
 * of where it began; there the damped ring becomes the base. */
static double first_guess(const bv_stage *s, double ratio, bv_ring_base *base) {
  double arc = acos(-ratio), time = arc * s->tau;
  bv_ring ring;
  if (s->wave.w2 > 0) {
    time = arc / s->wave.w;
    double fade = bv_fade(s->wave.a * time);
    double sine = fade * sqrt(1 - ratio * ratio) / s->wave.w;
    ring = (bv_ring){s->wave.a * sine - fade * ratio, sine * s->per_l, 0};
  } else {
    ring = bv_ring_from_rest(s, time);
  }
  *base = (bv_ring_base){time, ring.voltage, ring.current, time};
  return time;
}

/* Halley's step from a ring to where its voltage is -ratio, s. */
static double step_to(const bv_stage *s, double ratio, const bv_ring *at) {
  double newton = (at->voltage + ratio) * s->csw / at->current;
  double bend = (at->voltage / at->current - s->rp) * s->per_l;
  return newton / (1 + newton / 2 * bend);
}

/* That instant and the ring at it, from the instant of the cycle before. */
static double fall_time(const bv_stage *s, double ratio, bv_ring_base *base,
                        bv_ring *at) {
  bool guessed = !(base->time > 0);
  double time = guessed ? first_guess(s, ratio, base) : base->last;
  for (int i = 0; i < 8; i++) {
    *at = ring_near(s, time, base);
    double step = step_to(s, ratio, at);
    double units = fabs(step) * s->rate;
    if (units < (guessed ? 0.5 : 0.1)) {
      time += step;
      if (units < 1e-4) {
        at->current += step * (at->voltage - s->rp * at->current) * s->per_l;
        at->voltage = -ratio;
        base->last = time;
        break;
      }
    } else if (guessed) {
      break; /* it only grazes the level */
    } else {
      guessed = true;
      time = first_guess(s, ratio, base);
    }
  }
  at->square = bv_ring_square(s, time, at->voltage, s->z * at->current);
  return time;
}

/* From the crest to vd = Vin - level, then along a ramp to zero current or the
 * end of the time; returns the time left. A doubler's capacitor that would
 * catch the node above its crest does so at once. */
static double ring_caught(const bv_stage *s, double vr, double level,
                          double time, bv_state *state, bv_cycle *cycle) {
  bv_ring at = {1, 0, 0};
  double left = time;
  level = bv_more(level, -vr);
  if (level > -vr)
    left -= fall_time(s, level / vr, &state->fall, &at);
  if (left < 0) {
    at = bv_ring_from_rest(s, time);
    ring_on(s, vr, &at, state, cycle);
    return 0;
  }
  double i = -bv_more(vr * at.current, 0), square = vr * vr * at.square;
  cycle->flow.primary_charge += s->csw * (s->vin - level - state->node);
  cycle->flow.primary_square += square;
  state->node = s->vin - level;
  state->current = i;
  return left - (level < s->vin ? bv_doubler_catch(s, level, left, state, cycle)
                                : return_ramp(s, left, state, cycle));
}

void bv_cycle_dead(const bv_stage *s, double reflected, double level,
                   double time, bv_state *state, bv_cycle *cycle) {
  cycle->dead_time = time;
  state->current = 0;
  if (s->csw == 0) {
    state->node = s->vin;
    return;
  }
  double vr = bv_more(reflected, -s->vin);
  if (vr * s->ring_low > level) {
    double left = ring_caught(s, vr, level, time, state, cycle);
    if (left > 0) {
      bv_ring ring = ring_near(s, left, &state->rest);
      ring.square = bv_ring_square(s, left, ring.voltage, s->z * ring.current);
      ring_on(s, -level, &ring, state, cycle);
    }
  } else if (time == s->dead) {
    ring_on(s, vr, &s->ring, state, cycle);
  } else {
    bv_ring ring = bv_ring_from_rest(s, time);
    ring_on(s, vr, &ring, state, cycle);
  }
}

/* The current that the ring leaves at turn-on, i = -A/Z sin p with the node at
 * Vin + A cos p, shortens or lengthens the next on-time by i L/Vin and so the
 * next wait: as the charge goes on and the wait changes by dw, the phase moves
 * by dp = dw/tau/(1 + A/Vin cos p), slowly where the node is high. Hence each
 * phase counts for 1 + A/Vin cos p: the mean node is Vin + A^2/(2 Vin), its
 * mean square Vin^2 + 3 A^2/2, the mean square of i is A^2/(2 Z^2), which the
 * supply is spared in the on-time; the mean of i is zero. */
void bv_cycle_idle(const bv_stage *s, double reflected, double level,
                   double time, bv_state *state, bv_cycle *cycle) {
  cycle->dead_time = time;
  state->current = 0;
  if (s->csw == 0) {
    state->node = s->vin;
    return;
  }
  double vr = bv_more(reflected, -s->vin), from = vr, left = time;
  if (vr * s->ring_low > level) {
    left = bv_more(0, ring_caught(s, vr, level, time, state, cycle));
    from = level;
  }
  double end = from * bv_fade(s->wave.a * left), end2 = end * end;
  double lost = s->csw * (from * from - end2) / 2;
  cycle->flow.primary_square +=
      lost > 0 ? lost / s->rp : end2 / (s->z * s->z) * left / 2;
  cycle->flow.primary_charge +=
      s->csw * (s->vin - state->node) + s->csw * end2 / (4 * s->vin);
  state->node = sqrt(s->vin * s->vin + 1.5 * end2);
  state->current = 0;
}
