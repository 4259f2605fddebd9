/* SPDX-License-Identifier: MIT */
/* Current in an inductance at constant voltage behind a resistance,
 * L di/dt = v - r i: time, integral of i and of i squared in closed form, to a
 * given current or for a given time.
 *
 * With d = i1 - i0, m = v - r (i0 + i1)/2 (the voltage across L at the mean
 * current) and y = r d/(2 m) the time is (L d/m) atanh(y)/y. Written through
 * h(s) = (atanh(sqrt s)/sqrt s - 1)/s, s = y^2, no result loses digits where r
 * is small or zero. Exact; needs v - r i without change of sign. */
#ifndef BV_MODEL_CYCLE_RAMP_H
#define BV_MODEL_CYCLE_RAMP_H

#include <math.h>

/* The larger and the smaller of two numbers, neither a NaN. */
static inline double bv_more(double a, double b) {
  return a > b ? a : b;
}
static inline double bv_less(double a, double b) {
  return a < b ? a : b;
}

typedef struct bv_ramp {
  double time;    /* s */
  double current; /* A, at the end */
  double charge;  /* A s, integral of the current */
  double square;  /* A2 s, integral of its square */
} bv_ramp;

/* h(s) for |s| >= 0.04. */
double bv_ramp_excess_far(double s);

/* h(s) = (atanh(sqrt s)/sqrt s - 1)/s for s < 1; for s < 0 atanh becomes atan.
 * The series hold 1e-15. */
static inline double bv_ramp_excess(double s) {
  double q = s * s; /* even and odd terms apart: two short chains */
  if (fabs(s) < 0.006)
    return 1.0 / 3 + q * (1.0 / 7 + q * (1.0 / 11)) +
           s * (1.0 / 5 + q * (1.0 / 9 + q * (1.0 / 13)));
  if (fabs(s) < 0.04)
    return 1.0 / 3 +
           q * (1.0 / 7 + q * (1.0 / 11 + q * (1.0 / 15 + q * (1.0 / 19)))) +
           s * (1.0 / 5 +
                q * (1.0 / 9 +
                     q * (1.0 / 13 + q * (1.0 / 17 + q * (1.0 / 21)))));
  return bv_ramp_excess_far(s);
}

/* The integrals from a current i0 on, d = i1 - i0, with 1/m, y and h(y^2). */
static inline bv_ramp bv_ramp_of(double l, double r, double i0, double d,
                                 double inverse, double y, double h) {
  double mean = i0 + d / 2, scale = l * d * inverse, curve = y * d * h / 2;
  double g = 1 + y * y * h;
  double charge = scale * (mean * g + curve);
  double square =
      scale * d * d * h / 4 * (mean * r * inverse + 1) + mean * charge;
  return (bv_ramp){scale * g, i0 + d, charge, square};
}

/* The integrals between two currents whose difference, d = i1 - i0, is not
 * lost in rounding. */
static inline bv_ramp bv_ramp_between(double l, double v, double r, double i0,
                                      double d) {
  double mean = i0 + d / 2, inverse = 1 / (v - r * mean);
  double y = r * d * inverse / 2;
  return bv_ramp_of(l, r, i0, d, inverse, y, bv_ramp_excess(y * y));
}

/* From current i0 to i1. */
static inline bv_ramp bv_ramp_to(double l, double v, double r, double i0,
                                 double i1) {
  bv_ramp ramp = bv_ramp_between(l, v, r, i0, i1 - i0);
  ramp.current = i1;
  return ramp;
}

/* From current i0 for a time. */
static inline bv_ramp bv_ramp_for(double l, double v, double r, double i0,
                                  double time) {
  double y = r * time / l;
  double factor = y > 1e-9 ? -expm1(-y) / y : 1 - y / 2;
  double d = (v - r * i0) * time / l * factor;
  if (d == 0)
    return (bv_ramp){time, i0, i0 * time, i0 * i0 * time};
  bv_ramp ramp = bv_ramp_between(l, v, r, i0, d);
  ramp.time = time;
  return ramp;
}

/* exp(-x), for a small x by its series to 1e-16. */
static inline double bv_fade(double x) {
  double q = x * x;
  if (!(x < 0.05))
    return exp(-x);
  return 1 + q * (1.0 / 2 + q * (1.0 / 24 + q * (1.0 / 720))) -
         x * (1 + q * (1.0 / 6 + q * (1.0 / 120 + q * (1.0 / 5040))));
}

/* exp(-a t) times a wave of squared frequency w2 of either sign. */
typedef struct bv_damped {
  double a, w2, w; /* 1/s, 1/s2, sqrt(|w2|) */
} bv_damped;

static inline bv_damped bv_damped_make(double a, double undamped2) {
  double w2 = undamped2 - a * a;
  return (bv_damped){a, w2, sqrt(fabs(w2))};
}

/* exp(-a t) cos(w t) and exp(-a t) sin(w t)/w. */
static inline void bv_damped_at(const bv_damped *wave, double t, double *c,
                                double *s) {
  double w = wave->w, x = w * t, fade = bv_fade(wave->a * t);
  if (x < 1e-4) {
    *c = fade * (1 - wave->w2 * t * t / 2);
    *s = fade * t * (1 - wave->w2 * t * t / 6);
  } else if (wave->w2 > 0) {
    *c = fade * cos(x);
    *s = fade * sin(x) / w;
  } else {
    *c = fade * cosh(x);
    *s = fade * sinh(x) / w;
  }
}

#endif
