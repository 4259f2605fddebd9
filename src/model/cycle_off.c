/* SPDX-License-Identifier: MIT */
/* Step 5: the secondary current falls through diode and storage capacitor.
 *
 * Ls di/dt = -(u + R i), du/dt = i/C (1/C = inverse). With a = R/(2 Ls) and
 * wd^2 = 1/(Ls C) - a^2 the current is zero after atan(x wd)/wd, x = Ls i0/(u0
 * + R i0/2); there u^2 = exp(-2 a t)(u0^2 + R u0 i0 + Ls i0^2/C), since u'^2 +
 * 2 a u u' + u^2/(Ls C) decays as exp(-2 a t). The integral of i^2 follows from
 * the energy, or for R near zero from the undamped arc. */
#include <math.h>

#include "base/root.h"
#include "model/cycle.h"

void bv_off_loop_make(double l, double r, double inverse, bv_off_loop *loop) {
  loop->l = l;
  loop->r = r;
  loop->per_l = 1 / l;
  loop->inverse = inverse;
  loop->c = inverse > 0 ? 1 / inverse : HUGE_VAL;
  loop->wave = bv_damped_make(r / (2 * l), inverse / l);
}

double bv_off_time(const bv_off_loop *s, double u, double i) {
  double below = u + s->r * i / 2, x = s->l * i / below, z = s->wave.w2 * x * x;
  if (below > 0 && z < 1)
    return x * (1 - z * bv_ramp_excess(-z));
  if (s->wave.w2 > 0)
    return atan2(i * s->wave.w, below * s->per_l) / s->wave.w;
  return (double) NAN; /* overdamped and never zero */
}

/* Integral of i^2 between the states (u0, i0) and (u1, i1) a time apart. */
static double square_between(const bv_off_loop *s, double u0, double i0,
                             double u1, double i1, double time) {
  double c = s->c;
  if (s->r * (fabs(i0) + fabs(i1)) > 1e-8 * (fabs(u0) + fabs(u1)))
    return (s->l * (i0 * i0 - i1 * i1) - (u1 - u0) * (u1 + u0) * c) /
           (2 * s->r);
  return ((i0 * i0 + u0 * u0 * c * s->per_l) * time + (i1 * u1 - i0 * u0) * c) /
         2;
}

bv_off bv_off_full(const bv_off_loop *s, double u, double i) {
  if (s->inverse == 0) {
    bv_ramp ramp = bv_ramp_to(s->l, -u, s->r, i, 0);
    return (bv_off){ramp.time, 0, ramp.charge, ramp.square};
  }
  double t = bv_off_time(s, u, i);
  double square = u * u + s->r * i * u + s->l * i * i * s->inverse;
  double end = bv_fade(s->wave.a * t) * sqrt(square);
  return (bv_off){t, 0, (end - u) * s->c, square_between(s, u, i, end, 0, t)};
}

bv_off bv_off_for(const bv_off_loop *s, double u, double i, double time) {
  if (s->inverse == 0) {
    bv_ramp ramp = bv_ramp_for(s->l, -u, s->r, i, time);
    return (bv_off){time, ramp.current, ramp.charge, ramp.square};
  }
  double c, sn, a = s->wave.a;
  bv_damped_at(&s->wave, time, &c, &sn);
  double i1 = i * c - (u * s->per_l + a * i) * sn;
  double u1 = u * c + (i * s->inverse + a * u) * sn;
  double square = square_between(s, u, i, u1, i1, time);
  return (bv_off){time, i1, (u1 - u) * s->c, square};
}

typedef struct crossing {
  const bv_off_loop *loop;
  double u, i, charge;
} crossing;

static double charge_missing(double time, const void *context) {
  const crossing *x = context;
  return bv_off_for(x->loop, x->u, x->i, time).charge - x->charge;
}

bv_off bv_off_charge(const bv_off_loop *loop, double u, double i, double charge,
                     double longest) {
  crossing x = {loop, u, i, charge};
  double time = longest;
  bv_root_find(charge_missing, &x, 0, longest, 1e-12 * longest, &time);
  return bv_off_for(loop, u, i, time);
}
