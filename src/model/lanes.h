/* SPDX-License-Identifier: MIT */
/* Functions without branches and calls, so that compilers make vectors of a
 * loop that takes them over arrays. Each is within 1e-12 of exact where its
 * argument is in the range that it names, by a series whose terms are added in
 * fours, so that no long chain waits for itself; outside it is some number. */
#ifndef BV_MODEL_LANES_H
#define BV_MODEL_LANES_H

#include <math.h>
#include <stdbool.h>
#include <stdint.h>

#include "base/constants.h"

/* Marks a function of which a version for wide vectors is made beside the plain
 * one, with all that it calls; the machine chooses. The operations are the
 * same, none contracted, and so are the bits. */
#ifdef BV_WIDE
/* A test has its own. */
#elif defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) &&       \
    defined(__gnu_linux__)
#define BV_WIDE __attribute__((target_clones("avx2", "default"), flatten))
#else
#define BV_WIDE
#endif

/* a + b x + c x^2 + d x^3. */
static inline double bv_lane_four(double x, double a, double b, double c,
                                  double d) {
  return (a + b * x) + x * x * (c + d * x);
}

/* (exp(x) - 1)/x for |x| <= 0.1. */
static inline double bv_lane_growth(double x) {
  double x4 = x * x * (x * x);
  return bv_lane_four(x, 1, 1.0 / 2, 1.0 / 6, 1.0 / 24) +
         x4 * bv_lane_four(x, 1.0 / 120, 1.0 / 720, 1.0 / 5040, 1.0 / 40320);
}

/* (1 - exp(-x))/x for 0 <= x <= 1.6: with q = exp(-x/16) and 1 - q^16 = (1 - q)
 * (1 + q)(1 + q^2)(1 + q^4)(1 + q^8). */
static inline double bv_lane_faded(double x) {
  double part = x / 16, once = bv_lane_growth(-part), q = 1 - part * once;
  double q2 = q * q, q4 = q2 * q2, q8 = q4 * q4;
  return once / 16 * ((1 + q) * (1 + q2)) * ((1 + q4) * (1 + q8));
}

/* exp(x) for |x| <= 0.8. */
static inline double bv_lane_exp_near(double x) {
  double part = x / 8, y = 1 + part * bv_lane_growth(part);
  double y2 = y * y, y4 = y2 * y2;
  return y4 * y4;
}

/* exp(x) for |x| <= 700: the whole powers of two in x are counted in the last
 * bits of 3 2^51 and added to the exponent. */
static inline double bv_lane_exp(double x) {
  union {
    double number;
    uint64_t bits;
  } twos = {x * (1 / BV_LN2) + 0x1.8p52}, whole;
  double part = x / 4 - (twos.number - 0x1.8p52) * (BV_LN2 / 4);
  double y = 1 + part * bv_lane_growth(part), y2 = y * y;
  whole.number = y2 * y2;
  whole.bits += twos.bits << 52;
  return whole.number;
}

/* 1 - cos and sin of an angle. */
typedef struct bv_turn {
  double versine, sine;
} bv_turn;

/* Of an angle |x| <= 0.5. */
static inline bv_turn bv_lane_small_turn(double x) {
  double q = x * x, q4 = q * q * (q * q);
  double v = bv_lane_four(q, 1.0 / 2, -1.0 / 24, 1.0 / 720, -1.0 / 40320) +
             q4 * (1.0 / 3628800 - q * (1.0 / 479001600));
  double s = bv_lane_four(q, 1, -1.0 / 6, 1.0 / 120, -1.0 / 5040) +
             q4 * (1.0 / 362880 - q * (1.0 / 39916800));
  return (bv_turn){q * v, x * s};
}

static inline bv_turn bv_lane_doubled(bv_turn t) {
  double twice = 2 * t.sine;
  return (bv_turn){twice * twice / 2, twice * (1 - t.versine)};
}

/* Of an angle |x| <= 8. */
static inline bv_turn bv_lane_turn(double x) {
  bv_turn t = bv_lane_doubled(bv_lane_small_turn(x / 16));
  return bv_lane_doubled(bv_lane_doubled(bv_lane_doubled(t)));
}

/* h(s) of cycle_ramp.h for |s| <= 0.04. */
static inline double bv_lane_excess_near(double s) {
  double s4 = s * s * (s * s);
  return bv_lane_four(s, 1.0 / 3, 1.0 / 5, 1.0 / 7, 1.0 / 9) +
         s4 * bv_lane_four(s, 1.0 / 11, 1.0 / 13, 1.0 / 15, 1.0 / 17);
}

/* h(s) for |s| <= 0.172, the square of tan(pi/8). */
static inline double bv_lane_excess(double s) {
  double s4 = s * s * (s * s), s8 = s4 * s4;
  double far = bv_lane_four(s, 1.0 / 19, 1.0 / 21, 1.0 / 23, 1.0 / 25) +
               s4 * bv_lane_four(s, 1.0 / 27, 1.0 / 29, 1.0 / 31, 1.0 / 33);
  return bv_lane_excess_near(s) + s8 * far;
}

/* Angle of a tangent up to that of pi/8. */
static inline double bv_lane_angle(double tangent) {
  double s = -tangent * tangent;
  return tangent * (1 + s * bv_lane_excess(s));
}

/* Angle, 0 … 3 pi/4, of a sine and its cosine. */
static inline double bv_lane_arc(double sine, double cosine) {
  bool small = sine < cosine;
  double less = small ? sine : cosine, more = small ? cosine : sine;
  double twice = 2 * bv_lane_angle(less / (1 + more));
  return small ? twice : BV_PI / 2 - twice;
}

/* Logarithm of 2/3 … 3/2. */
static inline double bv_lane_log_near(double x) {
  double y = (x - 1) / (x + 1), s = y * y;
  return 2 * y * (1 + s * bv_lane_excess_near(s));
}

/* Logarithm of a normal number > 0: its exponent is put into the last bits of
 * 2^52, which counts in ones there. */
static inline double bv_lane_log(double x) {
  union {
    double number;
    uint64_t bits;
  } part = {x}, power = {0x1p52};
  uint64_t half = 0x3fe6a09e667f3bcd; /* sqrt(1/2) */
  uint64_t twos = (part.bits - half + (1023ull << 52)) >> 52;
  part.bits -= (twos - 1023) << 52;
  power.bits |= twos;
  double count = power.number - (0x1p52 + 1023);
  return count * BV_LN2 + bv_lane_log_near(part.number);
}

#endif
