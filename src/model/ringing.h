/* SPDX-License-Identifier: MIT */
/* What clamp and ring take once the switch's current is gone: the leakage rings
 * between the switch's capacitance C and the winding's Cw, which the
 * magnetising current I charges, until the diodes conduct.
 *
 * With S = C + Cw, w = sqrt(S/(L C Cw)), Z = sqrt(L S/(C Cw)) the leakage's
 * current swings about I C/S by R = k I Cw/S; a fall in a straight line during
 * tf delays the ring by tf/2 and takes the factor k = sin(h)/h, h = w tf/2,
 * from it. At an angle d past the winding's fastest rise, -pi at first, the
 * leakage has I C/S - R cos d, the switch is -R Z sin d above the winding, and
 * the winding at I/(w S) (d + k sin d) and a constant: Kepler's equation. Once
 * the diodes conduct at the winding's crest, L and C ring about it: with an
 * amplitude A the ring takes C A^2/2, and the clamp, where A reaches it, what
 * is beyond by Vcl/(Vcl - Vr).
 *
 * Where the switch is at the clamp's level sooner than the winding at its
 * crest, the clamp holds it while L and Cw swing on, until the leakage's
 * current is gone; then it rings anew. At the first trough of the switch the
 * body diode lets nothing below zero, while leakage and Cw swing on; what the
 * leakage has left goes back to the supply. Beyond it the ring dies down, taken
 * to be within two turns (common practice: a quality of some five): then all of
 * its energy is lost, and the leakage's current at its mean when the diodes
 * conduct. Source: circuit theory. Without branches but those of a whole stage.
 */
#ifndef BV_MODEL_RINGING_H
#define BV_MODEL_RINGING_H

#include <math.h>
#include <stdbool.h>

#include "model/clamp.h"
#include "model/cycle_ramp.h"
#include "model/lanes.h"

/* A ring as long as the diodes don't conduct. */
typedef struct bv_ringing_wave {
  double amplitude; /* A */
  double swing;     /* k, of the winding's rise */
  double centre;    /* V, of the winding, which then rises fastest */
} bv_ringing_wave;

/* All that a current tells; the winding counts from the node at rest, zero. */
typedef struct bv_ringing {
  double share;                /* of this form in the loss, 0 to 1 */
  double fallen, sure, steep;  /* V, winding, at the end of the fall and where
                                  this form alone counts; 1/V in between */
  double rest;                 /* A, the mean of the leakage's current */
  double z, own2;              /* ohm, Z; ohm2, L/C */
  double per, rad;             /* V the winding rises a radian, and 1/V */
  double half;                 /* F, C/2 */
  bv_ringing_wave first, last; /* before and after the clamp held */
  double caught, released;     /* V, winding from and to which the body diode
                                  conducts */
  double fading, spent;        /* V, winding from which the ring dies down; V2,
                                  A^2 that has its energy, once it has */
  double held, freed;     /* V, winding from and to which the clamp holds */
  double whole;           /* J, to the clamp by then */
  double full, most, tau; /* of that swing, as in bv_clamp_swing */
  double current, angle;  /* A; where it begins */
} bv_ringing;

/* Of a current in A, a fall in s and a capacitance in F of the switch; all >=
 * 0. share 0 where leakage or a capacitance is lacking, or where the clamp
 * conducts while the switch does. For these and where the diodes do, the form
 * of switch.h is kept, which this one takes over from little by little. */
void bv_ringing_make(const bv_clamp *clamp, double fall, double capacitance,
                     double current, bv_ringing *ringing);

/* Nearer to the d, within pi of none, whose d + q sin d is u: a step of
 * Halley's. */
static inline double bv_ringing_nearer(double u, double q, double d) {
  bv_turn t = bv_lane_turn(d);
  double wrong = d + q * t.sine - u, slope = 1 + q - q * t.versine;
  d -= 2 * wrong * slope / (2 * slope * slope + wrong * q * t.sine + 1e-12);
  return bv_less(BV_PI, bv_more(-BV_PI, d));
}

/* That angle within 0.015, where the sum ceases to grow within 0.2: a guess,
 * exact for small angles and fitted else, and a step. */
static inline double bv_ringing_angle(double u, double q) {
  double per = 1 / (1 + q), v = u * per, v2 = v * v;
  double d = v + v * q * per * v2 * (1.0 / 6 + 0.12 * v2);
  return bv_ringing_nearer(u, q, bv_less(BV_PI, bv_more(-BV_PI, d)));
}

/* Without whole turns. */
static inline double bv_ringing_turned(double u) {
  double turns = u * (1 / (2 * BV_PI)) + 0x1.8p52 - 0x1.8p52;
  return u - turns * (2 * BV_PI);
}

/* A^2 where the diodes conduct at a crest of the winding. A current below zero
 * leaves a ring that would go below zero volts to the supply. */
static inline double bv_ringing_square(const bv_ringing *r, double crest) {
  bool up = crest > r->held;
  double amplitude = up ? r->last.amplitude : r->first.amplitude;
  double swing = up ? r->last.swing : r->first.swing;
  double centre = up ? r->last.centre : r->first.centre;
  double at = bv_less(crest, r->caught), end = bv_less(crest, r->released);
  double u = bv_ringing_turned((at - centre) * r->rad);
  bv_turn t = bv_lane_turn(bv_ringing_angle(u, swing));
  double i = r->rest - amplitude + amplitude * t.versine;
  double across = amplitude * r->z * t.sine;
  double square = across * across + r->own2 * i * i;
  double most = i < 0 ? at * at : HUGE_VAL;
  double caught = bv_less(square, most) + (end * end - at * at);
  double later = (crest - r->fading) * r->rad * (1 / (4 * BV_PI));
  later = bv_less(1, bv_more(0, later));
  return caught + later * (r->spent - caught);
}

/* Both, of a ring of that square and what the clamp took before. */
static inline double bv_ringing_free(const bv_clamp *c, const bv_ringing *r,
                                     double crest) {
  double span = c->supply + c->level - crest, within = span * span;
  double square = bv_ringing_square(r, crest);
  double beyond = bv_more(0, square - within) * c->level / span;
  double before = crest < r->freed ? 0 : r->whole;
  double left = bv_less(square, bv_less(within, crest * crest));
  return before + r->half * (left + beyond);
}

/* Both, where the diodes conduct while the clamp holds. */
static inline double bv_ringing_held(const bv_clamp *c, const bv_ringing *r,
                                     double crest) {
  double span = c->supply + c->level - crest, cosine = span / r->full;
  double sine = sqrt(1 - cosine * cosine), i = r->current - r->most * sine;
  double time = r->tau * (bv_lane_arc(sine, cosine) - r->angle);
  double charge = r->current * time - c->capacitance * (crest - r->held);
  double rest = c->level * c->leakage * i * i / (2 * span);
  double left = bv_less(span * span, crest * crest);
  return c->level * charge + rest + r->half * left;
}

/* Whether nothing else counts at a crest of the winding, V, and any above. */
static inline bool bv_ringing_alone(const bv_ringing *r, double crest) {
  return r->share >= 1 && crest >= r->sure;
}

/* Its share at a reflected voltage. */
static inline double bv_ringing_share(const bv_clamp *c, const bv_ringing *r,
                                      double reflected) {
  double past = c->supply + reflected - r->fallen;
  return bv_less(r->share, bv_more(0, past * r->steep));
}

/* What clamp and ring take, J, at a reflected voltage below the clamp's level.
 */
static inline double bv_ringing_take(const bv_clamp *c, const bv_ringing *r,
                                     double reflected) {
  double crest = bv_more(0, c->supply + reflected);
  double freely = bv_ringing_free(c, r, crest);
  double held = bv_ringing_held(c, r, crest);
  return crest > r->held && crest < r->freed ? held : freely;
}

/* The same where this form has but a share, of what else both take. */
static inline double bv_ringing_mix(const bv_clamp *c, const bv_ringing *r,
                                    double reflected, double both) {
  double share = bv_ringing_share(c, r, reflected);
  return share * bv_ringing_take(c, r, reflected) + (1 - share) * both;
}

#endif
