/* SPDX-License-Identifier: MIT */
#include "search/credit.h"

#include <math.h>

/* Evaluations over which gains fade. */
#define WINDOW 300.0

static double kept_after(size_t evaluations) {
  return exp(-(double) evaluations / WINDOW);
}

void bv_credit_learn(bv_credit *c, size_t operator, double gain,
                     size_t evaluations) {
  double kept = kept_after(evaluations);
  double relative = gain > 0 ? gain / (c->lately + gain) : 0;
  c->lately = kept * c->lately + gain;
  c->gain[operator] = kept *c->gain[operator] + relative;
  c->spent[operator] = kept *c->spent[operator] + (double) evaluations;
}

/* What shares follow: gain an evaluation. An operator not tried yet, below 0,
 * counts as the best one. */
static double rate(const bv_credit *c, size_t i) {
  if (c->spent[i] <= 0)
    return -1;
  double gain = c->gain[i] / c->spent[i];
  return c->squared ? gain * gain : gain;
}

static void shares(const bv_credit *c, const double *least, size_t count,
                   double *share) {
  double best = 0, sum = 0, able = 0, granted = 0;
  for (size_t i = 0; i < count; i++)
    if (least[i] >= 0)
      best = fmax(best, rate(c, i));
  for (size_t i = 0; i < count; i++) {
    share[i] = least[i] < 0 ? 0 : rate(c, i) < 0 ? best : rate(c, i);
    sum += share[i];
    able += least[i] >= 0;
    granted += fmax(least[i], 0);
  }
  for (size_t i = 0; i < count; i++)
    if (least[i] >= 0)
      share[i] =
          least[i] + (1 - granted) * (sum > 0 ? share[i] / sum : 1 / able);
}

size_t bv_credit_choose(const bv_credit *c, const double *least, size_t count) {
  double share[BV_OPERATORS_MOST];
  shares(c, least, count, share);
  size_t best = count;
  for (size_t i = 0; i < count; i++)
    if (least[i] >= 0 &&
        (best == count || c->due[i] + share[i] > c->due[best] + share[best]))
      best = i;
  return best;
}

void bv_credit_charge(bv_credit *c, const double *least, size_t count,
                      size_t operator, size_t evaluations) {
  double share[BV_OPERATORS_MOST], most = 4 * WINDOW;
  shares(c, least, count, share);
  for (size_t i = 0; i < count; i++)
    c->due[i] = fmin(c->due[i] + share[i] * (double) evaluations, most);
  c->due[operator] -= (double) evaluations;
}
