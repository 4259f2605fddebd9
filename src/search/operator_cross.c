/* SPDX-License-Identifier: MIT */
/* cross: children of the population, by crossover and mutation or by
 * differences. */
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "search/near.h"
#include "search/vary.h"

/* Polynomial mutation and simulated binary crossover (K. Deb, R. Agrawal,
 * Complex Systems 9, 1995): distribution indices. */
#define CROSS_INDEX 15.0
#define MUTATION_INDEX 20.0

/* How often a difference is added whole. */
#define WHOLE 0.8

/* How many children are mutated: the others are made of what is known, for a
 * variable at its best value stays there. */
#define MUTATED 0.3

static bv_turn cross_turn(const bv_search *s) {
  return bv_plan_started(s) && s->population.count > 1 ? BV_TURN_SHARE
                                                       : BV_TURN_NONE;
}

static double polynomial_step(bv_random *random, double index) {
  double u = bv_random_unit(random);
  return u < 0.5 ? pow(2 * u, 1 / (index + 1)) - 1
                 : 1 - pow(2 * (1 - u), 1 / (index + 1));
}

static void mutate(const bv_space *space, double *x, bv_random *random) {
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    if (!bv_random_chance(random, 1 / (double) space->count))
      continue;
    if (bv_variable_is_discrete(v))
      x[i] = bv_vary_level(v, x[i], random);
    else
      x[i] = bv_vary_by(v, x[i], polynomial_step(random, MUTATION_INDEX));
  }
}

static const double *random_parent(const bv_search *s, bv_random *random,
                                   double from_front) {
  if (s->front.count > 0 && bv_random_chance(random, from_front))
    return bv_archive_x(&s->front, bv_near_lonely(s, random));
  return bv_population_x(&s->population,
                         bv_population_tournament(&s->population, random));
}

static double crossed(const bv_variable *v, double a, double b,
                      bv_random *random) {
  if (bv_variable_is_discrete(v))
    return bv_random_chance(random, 0.5) ? a : b;
  double u = bv_random_unit(random);
  double spread = u < 0.5 ? pow(2 * u, 1 / (CROSS_INDEX + 1))
                          : pow(1 / (2 * (1 - u)), 1 / (CROSS_INDEX + 1));
  double ua = bv_variable_encode(v, a), ub = bv_variable_encode(v, b);
  if (bv_random_chance(random, 0.5))
    spread = -spread; /* the child near b */
  double child = 0.5 * ((1 + spread) * ua + (1 - spread) * ub);
  return bv_variable_decode(v, bv_between(child, 0, 1));
}

static const double *random_member(const bv_search *s, bv_random *random) {
  return bv_population_x(&s->population,
                         bv_random_below(random, s->population.count));
}

static void cross(const bv_search *s, bv_random *random, double *x) {
  const bv_space *space = &s->problem->space;
  const double *a = random_parent(s, random, 0.3);
  if (bv_random_chance(random, 0.5)) {
    /* Whole differences carry from one local optimum to the next where these
     * form a lattice; shortened ones fall between them. */
    double length =
        bv_random_chance(random, WHOLE) ? 1 : bv_random_unit(random);
    const double *b = random_member(s, random), *c = random_member(s, random);
    bv_vary_differ(space, random, a, b, c, length, x);
    return;
  }
  const double *b = random_parent(s, random, 0);
  for (size_t i = 0; i < space->count; i++)
    x[i] = bv_random_chance(random, 0.5)
               ? a[i]
               : crossed(&space->variables[i], a[i], b[i], random);
  if (bv_random_chance(random, MUTATED))
    mutate(space, x, random);
}

static bool cross_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  return bv_vary_list(s, random, cell, cross);
}

const bv_operator bv_operator_cross = {.name = "cross",
                                       .seeks = true,
                                       .turn = cross_turn,
                                       .plan = cross_plan,
                                       .run = bv_run_list};
