/* SPDX-License-Identifier: MIT */
/* The smaller and the larger of two numbers, neither of them NAN: in the middle
 * of a loop fmin and fmax are calls. */
#ifndef BV_BASE_NUMBER_H
#define BV_BASE_NUMBER_H

static inline double bv_smaller(double a, double b) {
  return b < a ? b : a;
}

static inline double bv_larger(double a, double b) {
  return b > a ? b : a;
}

/* A value brought between two ends; the lower one where it is NAN. */
static inline double bv_between(double value, double lo, double hi) {
  return bv_smaller(hi, bv_larger(lo, value));
}

#endif
