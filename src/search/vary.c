/* SPDX-License-Identifier: MIT */
#include "search/vary.h"

#include <math.h>

#include "base/number.h"

/* Attempts for each point of a list. */
enum { ATTEMPTS = 4 };

/* How often one variable lends its difference to another: where local optima
 * form a lattice, a way from one to the next that the points have lost in one
 * variable they may still know in another. */
#define LENT 0.5

bool bv_vary_list(bv_search *s, bv_random *random, bv_cell *cell,
                  bv_maker *make) {
  double x[BV_SPACE_MOST];
  size_t room = cell->most * s->problem->space.count;
  for (int i = 0; i < ATTEMPTS * BV_LIST_SIZE && cell->length < room; i++) {
    make(s, random, x);
    bv_plan_point(s, cell, x);
  }
  return cell->length > 0;
}

double bv_vary_by(const bv_variable *v, double value, double step) {
  double unit = bv_variable_encode(v, value) + step;
  return bv_variable_decode(v, bv_between(unit, 0, 1));
}

double bv_vary_level(const bv_variable *v, double value, bv_random *random) {
  double levels = (double) bv_variable_levels(v);
  double unit = bv_variable_encode(v, value);
  double jump = 1 + floor(bv_random_unit(random) * (levels - 1));
  if (v->scale != BV_SCALE_CHOICE)
    jump = fmin(ceil(-log2(1 - bv_random_unit(random))), levels - 1) *
           (bv_random_chance(random, 0.5) ? 1 : -1);
  double level = unit * levels - 0.5 + jump;
  if (v->scale == BV_SCALE_CHOICE)
    level = fmod(level, levels);
  return bv_variable_decode(v, bv_between((level + 0.5) / levels, 0, 1));
}

/* b - c in a variable, or in any other, in units. */
static double difference(const bv_space *space, bv_random *random, size_t i,
                         const double *b, const double *c) {
  size_t other = bv_random_below(random, space->count);
  if (bv_random_chance(random, LENT) &&
      !bv_variable_is_discrete(&space->variables[other]))
    i = other;
  const bv_variable *v = &space->variables[i];
  return bv_variable_encode(v, b[i]) - bv_variable_encode(v, c[i]);
}

void bv_vary_differ(const bv_space *space, bv_random *random, const double *a,
                    const double *b, const double *c, double length,
                    double *x) {
  double part = pow((double) space->count, -bv_random_unit(random));
  size_t sure = bv_random_below(random, space->count);
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    if (i != sure && !bv_random_chance(random, part))
      x[i] = a[i];
    else if (bv_variable_is_discrete(v))
      x[i] = bv_random_chance(random, 0.5) ? a[i] : b[i];
    else
      x[i] = bv_vary_by(v, a[i], length * difference(space, random, i, b, c));
  }
}
