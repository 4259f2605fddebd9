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

static double time_to_zero(double ls, double r, double w2, double u, double i) {
  double below = u + r * i / 2, x = ls * i / below, z = w2 * x * x;
  if (below > 0 && z < 1)
    return x * (1 - z * bv_ramp_excess(-z));
  if (w2 > 0)
    return atan2(i * sqrt(w2), below / ls) / sqrt(w2);
  return (double) NAN; /* overdamped and never zero */
}

/* Integral of i^2 between the states (u0, i0) and (u1, i1) a time apart. */
static double square_between(bv_coil s, double inverse, double u0, double i0,
                             double u1, double i1, double time) {
  double c = 1 / inverse;
  if (s.r * (fabs(i0) + fabs(i1)) > 1e-8 * (fabs(u0) + fabs(u1)))
    return (s.l * (i0 * i0 - i1 * i1) - (u1 - u0) * (u1 + u0) * c) / 2 / s.r;
  return ((i0 * i0 + u0 * u0 * c / s.l) * time + (i1 * u1 - i0 * u0) * c) / 2;
}

bv_off bv_off_full(bv_coil s, double inverse, double u, double i) {
  if (inverse == 0) {
    bv_ramp ramp = bv_ramp_to(s.l, -u, s.r, i, 0);
    return (bv_off){ramp.time, 0, ramp.charge, ramp.square};
  }
  double a = s.r / (2 * s.l), w2 = inverse / s.l - a * a;
  double t = time_to_zero(s.l, s.r, w2, u, i);
  double end = exp(-a * t) * sqrt(u * u + s.r * i * u + s.l * i * i * inverse);
  double square = square_between(s, inverse, u, i, end, 0, t);
  return (bv_off){t, 0, (end - u) / inverse, square};
}

bv_off bv_off_for(bv_coil s, double inverse, double u, double i, double time) {
  if (inverse == 0) {
    bv_ramp ramp = bv_ramp_for(s.l, -u, s.r, i, time);
    return (bv_off){time, ramp.current, ramp.charge, ramp.square};
  }
  double a = s.r / (2 * s.l), w2 = inverse / s.l - a * a, c, sn;
  bv_wave(w2, time, &c, &sn);
  double decay = exp(-a * time);
  double i1 = decay * (i * c - (u / s.l + a * i) * sn);
  double u1 = decay * (u * c + (i * inverse + a * u) * sn);
  double square = square_between(s, inverse, u, i, u1, i1, time);
  return (bv_off){time, i1, (u1 - u) / inverse, square};
}

typedef struct crossing {
  bv_coil coil;
  double inverse, u, i, charge;
} crossing;

static double charge_missing(double time, const void *context) {
  const crossing *x = context;
  return bv_off_for(x->coil, x->inverse, x->u, x->i, time).charge - x->charge;
}

bv_off bv_off_charge(bv_coil coil, double inverse, double u, double i,
                     double charge, double longest) {
  crossing x = {coil, inverse, u, i, charge};
  double time = longest;
  bv_root_find(charge_missing, &x, 0, longest, 1e-12 * longest, &time);
  return bv_off_for(coil, inverse, u, i, time);
}
