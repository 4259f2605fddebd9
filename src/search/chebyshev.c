/* SPDX-License-Identifier: MIT */
#include "search/chebyshev.h"

#include <math.h>
#include <nlopt.h>
#include <string.h>

#include "base/number.h"

/* What a broken limit costs, in scaled objectives: much more than is mostly won
 * by it. */
#define BROKEN 100.0

/* By how much NLopt may break a limit: it takes no place for an end that breaks
 * more, and comes to the limits from outside. */
#define LIMIT_TOLERANCE (BV_LIMIT_TOLERANCE / 10)

typedef struct descent {
  const bv_chebyshev *aim;
  bv_ground *ground;
  nlopt_opt optimizer;
  bool breaks; /* a limit is broken at the start: it may stay so, at a cost */
} descent;

/* The scaled distance of one objective. */
static double distance(const bv_chebyshev *aim, const double *values,
                       size_t j) {
  return aim->weight[j] * (values[j] - aim->origin[j]);
}

static double largest_distance(const bv_chebyshev *aim, const double *values) {
  double largest = -HUGE_VAL;
  for (size_t j = 0; j < aim->objectives; j++)
    largest = bv_larger(largest, distance(aim, values, j));
  return largest;
}

/* What keeps the minimum from being weak: a little of every distance. */
static double augmentation(const bv_chebyshev *aim, const double *values) {
  double sum = 0;
  for (size_t j = 0; j < aim->objectives; j++)
    sum += distance(aim, values, j);
  return aim->rho * sum;
}

/* By how much the worst limit is broken. */
static double worst_limit(const bv_chebyshev *aim, const double *values) {
  double broken = 0;
  for (size_t r = 0; r < aim->limits; r++)
    broken = bv_larger(broken, values[aim->objectives + r]);
  return broken;
}

double bv_chebyshev_height(const bv_chebyshev *aim, const double *values) {
  return largest_distance(aim, values) + augmentation(aim, values) +
         BROKEN * worst_limit(aim, values);
}

static const double *reach(const descent *d, const double *at, bool slopes) {
  const double *values = d->ground->values(d->ground, at, slopes);
  if (d->ground->stop)
    nlopt_force_stop(d->optimizer);
  return values;
}

/* NLopt's numbers are the variables, then the height t, and where limits may be
 * broken by how much the worst of them is. */
static unsigned count_numbers(const descent *d) {
  return (unsigned) d->ground->count + 1 + d->breaks;
}

/* NLopt's objective: t, the augmentation, and the cost of broken limits. */
static double height(unsigned n, const double *at, double *gradient,
                     void *context) {
  const descent *d = context;
  const bv_chebyshev *aim = d->aim;
  const double *values = reach(d, at, gradient != NULL);
  (void) n;
  for (size_t i = 0; gradient && i < d->ground->count; i++) {
    gradient[i] = 0;
    for (size_t j = 0; j < aim->objectives; j++)
      gradient[i] +=
          aim->rho * aim->weight[j] * d->ground->slope(d->ground, j, i);
  }
  size_t t = d->ground->count;
  if (gradient)
    gradient[t] = 1;
  if (gradient && d->breaks)
    gradient[t + 1] = BROKEN;
  return at[t] + augmentation(aim, values) +
         (d->breaks ? BROKEN * at[t + 1] : 0);
}

/* NLopt's constraints: each scaled distance below t, each limit below 0 or what
 * it may be broken by. */
static void constraints(unsigned m, double *result, unsigned n,
                        const double *at, double *gradient, void *context) {
  const descent *d = context;
  const bv_chebyshev *aim = d->aim;
  const double *values = reach(d, at, gradient != NULL);
  for (size_t r = 0; r < m; r++) {
    bool is_limit = r >= aim->objectives;
    bool is_bound = is_limit && !d->breaks;
    size_t below = d->ground->count + is_limit;
    double *row = gradient ? gradient + r * n : NULL;
    double by = is_limit ? 1 : aim->weight[r];
    result[r] = (is_limit ? values[r] : distance(aim, values, r)) -
                (is_bound ? 0 : at[below]);
    if (!row)
      continue;
    memset(row, 0, n * sizeof *row);
    for (size_t i = 0; i < d->ground->count; i++)
      row[i] = by * d->ground->slope(d->ground, r, i);
    if (!is_bound)
      row[below] = -1;
  }
}

static bv_solve_end end_of(nlopt_result result) {
  switch (result) {
  case NLOPT_SUCCESS:
  case NLOPT_STOPVAL_REACHED:
  case NLOPT_FTOL_REACHED:
  case NLOPT_XTOL_REACHED:
    return BV_SOLVE_CONVERGED;
  case NLOPT_FORCED_STOP:
  case NLOPT_MAXEVAL_REACHED:
  case NLOPT_MAXTIME_REACHED:
    return BV_SOLVE_CUT;
  case NLOPT_ROUNDOFF_LIMITED:
    return BV_SOLVE_ROUNDED;
  case NLOPT_FAILURE:
  case NLOPT_INVALID_ARGS:
  case NLOPT_OUT_OF_MEMORY:
  default:
    return BV_SOLVE_REFUSED;
  }
}

static bool bound(nlopt_opt optimizer, const bv_ground *g) {
  double lo[BV_SPACE_MOST + 2], hi[BV_SPACE_MOST + 2];
  memcpy(lo, g->lo, g->count * sizeof *lo);
  memcpy(hi, g->hi, g->count * sizeof *hi);
  lo[g->count] = -HUGE_VAL;
  lo[g->count + 1] = 0;
  hi[g->count] = hi[g->count + 1] = HUGE_VAL;
  return nlopt_set_lower_bounds(optimizer, lo) > 0 &&
         nlopt_set_upper_bounds(optimizer, hi) > 0;
}

static nlopt_opt make_optimizer(descent *d) {
  const bv_ground *g = d->ground;
  size_t rows = d->aim->objectives + d->aim->limits;
  double tolerances[BV_ROWS_MOST];
  for (size_t r = 0; r < rows; r++)
    tolerances[r] = r < d->aim->objectives ? g->loose : LIMIT_TOLERANCE;
  nlopt_opt optimizer = nlopt_create(NLOPT_LD_SLSQP, count_numbers(d));
  if (optimizer && bound(optimizer, g) &&
      nlopt_set_min_objective(optimizer, height, d) > 0 &&
      nlopt_add_inequality_mconstraint(optimizer, (unsigned) rows, constraints,
                                       d, tolerances) > 0 &&
      nlopt_set_xtol_abs1(optimizer, g->near) > 0 &&
      nlopt_set_ftol_abs(optimizer, g->flat) > 0 &&
      nlopt_set_maxeval(optimizer, g->most) > 0)
    return optimizer;
  nlopt_destroy(optimizer);
  return NULL;
}

bv_solve_end bv_chebyshev_descend(const bv_chebyshev *aim, bv_ground *g,
                                  double *at) {
  const double *values = g->values(g, at, false);
  double numbers[BV_SPACE_MOST + 2], broken = worst_limit(aim, values), least;
  memcpy(numbers, at, g->count * sizeof *at);
  numbers[g->count] = largest_distance(aim, values);
  numbers[g->count + 1] = broken;
  descent d = {.aim = aim, .ground = g, .breaks = broken > 0};
  d.optimizer = make_optimizer(&d);
  if (!d.optimizer)
    return BV_SOLVE_REFUSED;
  nlopt_result result = nlopt_optimize(d.optimizer, numbers, &least);
  nlopt_destroy(d.optimizer);
  memcpy(at, numbers, g->count * sizeof *at);
  return end_of(result);
}
