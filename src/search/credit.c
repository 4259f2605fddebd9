/* SPDX-License-Identifier: MIT */
#include "search/credit.h"

#include <math.h>

/* Evaluations over which what an operator gained fades, and the least share of
 * each operator. */
#define WINDOW 300.0
#define FLOOR 0.04

void bv_credit_learn(bv_credit *c, size_t operator, double gain,
                     size_t evaluations) {
  double kept = exp(-(double) evaluations / WINDOW);
  c->gain[operator] = kept *c->gain[operator] + gain;
  c->spent[operator] = kept *c->spent[operator] + (double) evaluations;
}

/* Gain an evaluation; an operator not tried yet counts as the best one. */
static double rate(const bv_credit *c, size_t i) {
  return c->spent[i] > 0 ? c->gain[i] / c->spent[i] : -1;
}

static void shares(const bv_credit *c, const bool *suits, size_t count,
                   double *share) {
  double best = 0, sum = 0, suitable = 0;
  for (size_t i = 0; i < count; i++)
    if (suits[i])
      best = fmax(best, rate(c, i));
  for (size_t i = 0; i < count; i++) {
    share[i] = !suits[i] ? 0 : rate(c, i) < 0 ? best : rate(c, i);
    sum += share[i];
    suitable += suits[i];
  }
  for (size_t i = 0; i < count; i++)
    if (suits[i])
      share[i] = sum > 0 ? FLOOR + (1 - FLOOR * suitable) * share[i] / sum
                         : 1 / suitable;
}

size_t bv_credit_choose(const bv_credit *c, const bool *suits, size_t count) {
  double share[BV_OPERATORS_MOST];
  shares(c, suits, count, share);
  size_t best = count;
  for (size_t i = 0; i < count; i++)
    if (suits[i] &&
        (best == count || c->due[i] + share[i] > c->due[best] + share[best]))
      best = i;
  return best;
}

void bv_credit_charge(bv_credit *c, const bool *suits, size_t count,
                      size_t operator, size_t evaluations) {
  double share[BV_OPERATORS_MOST], most = 4 * WINDOW;
  shares(c, suits, count, share);
  for (size_t i = 0; i < count; i++)
    c->due[i] = fmin(c->due[i] + share[i] * (double) evaluations, most);
  c->due[operator] -= (double) evaluations;
}
