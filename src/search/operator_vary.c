/* SPDX-License-Identifier: MIT */
/* Operators that make new points from known ones by chance. Numbers vary in
 * units (0 … 1), discrete variables by levels. */
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "search/near.h"
#include "search/plan.h"

/* Attempts an operator makes for each point of its list. */
enum { ATTEMPTS = 4 };

/* Polynomial mutation and simulated binary crossover (K. Deb, R. Agrawal,
 * Complex Systems 9, 1995): distribution indices. */
#define CROSS_INDEX 15.0
#define MUTATION_INDEX 20.0

/* How often a difference is added whole, and how often one variable lends its
 * own to another: where local optima form a lattice, a way from one to the next
 * that the points have lost in one variable they may still know in another. */
#define WHOLE 0.8
#define LENT 0.5

/* How many children are mutated: the others are made of what is known, for a
 * variable at its best value stays there. */
#define MUTATED 0.3

typedef void maker(bv_search *search, bv_random *random, double *x);

/* Fills a cell's list by an operator's maker. */
static bool fill_list(bv_search *s, bv_random *random, bv_cell *cell,
                      maker *make) {
  double x[BV_SPACE_MOST];
  size_t n = s->problem->space.count;
  for (int i = 0; i < ATTEMPTS * BV_LIST_SIZE; i++) {
    if (cell->length >= cell->most * n)
      break;
    make(s, random, x);
    bv_plan_point(s, cell, x);
  }
  return cell->length > 0;
}

static bool chance(bv_random *random, double probability) {
  return bv_random_unit(random) < probability;
}

/* Keeps a unit inside. Points beyond an end are put on it, for optima often lie
 * there. */
static double clamp(double unit) {
  return bv_between(unit, 0, 1);
}

/* Another level: of a choice any, of an ordered variable mostly a near one. */
static double other_level(const bv_variable *v, double value,
                          bv_random *random) {
  double levels = (double) bv_variable_levels(v);
  double unit = bv_variable_encode(v, value);
  double jump = 1 + floor(bv_random_unit(random) * (levels - 1));
  if (v->scale != BV_SCALE_CHOICE)
    jump = fmin(ceil(-log2(1 - bv_random_unit(random))), levels - 1) *
           (chance(random, 0.5) ? 1 : -1);
  double level = unit * levels - 0.5 + jump;
  if (v->scale == BV_SCALE_CHOICE)
    level = fmod(level, levels);
  return bv_variable_decode(v, clamp((level + 0.5) / levels));
}

static double polynomial_step(bv_random *random, double index) {
  double u = bv_random_unit(random);
  return u < 0.5 ? pow(2 * u, 1 / (index + 1)) - 1
                 : 1 - pow(2 * (1 - u), 1 / (index + 1));
}

static void mutate(const bv_space *space, double *x, bv_random *random) {
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    if (!chance(random, 1 / (double) space->count))
      continue;
    if (bv_variable_is_discrete(v))
      x[i] = other_level(v, x[i], random);
    else
      x[i] =
          bv_variable_decode(v, clamp(bv_variable_encode(v, x[i]) +
                                      polynomial_step(random, MUTATION_INDEX)));
  }
}

/* b - c in a variable, or in any other, in units. */
static double difference(const bv_space *space, bv_random *random, size_t i,
                         const double *b, const double *c) {
  size_t other = bv_random_below(random, space->count);
  if (chance(random, LENT) &&
      !bv_variable_is_discrete(&space->variables[other]))
    i = other;
  const bv_variable *v = &space->variables[i];
  return bv_variable_encode(v, b[i]) - bv_variable_encode(v, c[i]);
}

/* a + length (b - c) in a random part of the variables, one at least: parts of
 * every size are equally likely on a logarithmic scale (R. Storn, K. Price, J.
 * Global Optimization 11, 1997). Discrete variables are a's or b's. */
static void differ(const bv_space *space, bv_random *random, const double *a,
                   const double *b, const double *c, double length, double *x) {
  double part = pow((double) space->count, -bv_random_unit(random));
  size_t sure = bv_random_below(random, space->count);
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    if (i != sure && !chance(random, part))
      x[i] = a[i];
    else if (bv_variable_is_discrete(v))
      x[i] = chance(random, 0.5) ? a[i] : b[i];
    else
      x[i] = bv_variable_decode(
          v, clamp(bv_variable_encode(v, a[i]) +
                   length * difference(space, random, i, b, c)));
  }
}

static const double *random_parent(const bv_search *s, bv_random *random,
                                   double from_front) {
  if (s->front.count > 0 && chance(random, from_front))
    return bv_archive_x(&s->front, bv_near_lonely(s, random));
  return bv_population_x(&s->population,
                         bv_population_tournament(&s->population, random));
}

/* cross: children of the population, by crossover and mutation or by
 * differences. */

static bv_turn cross_turn(const bv_search *s) {
  return bv_plan_started(s) && s->population.count > 1 ? BV_TURN_SHARE
                                                       : BV_TURN_NONE;
}

static double crossed(const bv_variable *v, double a, double b,
                      bv_random *random) {
  if (bv_variable_is_discrete(v))
    return chance(random, 0.5) ? a : b;
  double u = bv_random_unit(random);
  double spread = u < 0.5 ? pow(2 * u, 1 / (CROSS_INDEX + 1))
                          : pow(1 / (2 * (1 - u)), 1 / (CROSS_INDEX + 1));
  double ua = bv_variable_encode(v, a), ub = bv_variable_encode(v, b);
  if (chance(random, 0.5))
    spread = -spread; /* the child near b */
  double child = 0.5 * ((1 + spread) * ua + (1 - spread) * ub);
  return bv_variable_decode(v, clamp(child));
}

static const double *random_member(const bv_search *s, bv_random *random) {
  return bv_population_x(&s->population,
                         bv_random_below(random, s->population.count));
}

static void cross(bv_search *s, bv_random *random, double *x) {
  const bv_space *space = &s->problem->space;
  const double *a = random_parent(s, random, 0.3);
  if (chance(random, 0.5)) {
    /* Whole differences carry from one local optimum to the next where these
     * form a lattice; shortened ones fall between them. */
    double length = chance(random, WHOLE) ? 1 : bv_random_unit(random);
    const double *b = random_member(s, random), *c = random_member(s, random);
    differ(space, random, a, b, c, length, x);
    return;
  }
  const double *b = random_parent(s, random, 0);
  for (size_t i = 0; i < space->count; i++)
    x[i] = chance(random, 0.5)
               ? a[i]
               : crossed(&space->variables[i], a[i], b[i], random);
  if (chance(random, MUTATED))
    mutate(space, x, random);
}

static bool cross_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  return fill_list(s, random, cell, cross);
}

const bv_operator bv_operator_cross = {.name = "cross",
                                       .seeks = true,
                                       .turn = cross_turn,
                                       .plan = cross_plan,
                                       .run = bv_run_list};

/* step: some variables of a neighbour on the front, or a difference of two,
 * added to a point near by. What is best for a stretch of the front, such as a
 * variable at its best value, spreads along it whole. */

/* How often a difference is taken. */
#define DIFFERENCE 0.3

static bv_turn step_turn(const bv_search *s) {
  return bv_plan_started(s) && s->front.count > 2 ? BV_TURN_SHARE
                                                  : BV_TURN_NONE;
}

static const double *one_of(const bv_search *s, bv_random *random,
                            const size_t *slots, size_t count) {
  return bv_archive_x(&s->front, slots[bv_random_below(random, count)]);
}

static void step(bv_search *s, bv_random *random, double *x) {
  size_t slot = bv_near_lonely(s, random), near[6];
  size_t count = bv_near(s, slot, random, near, 6);
  const double *a = bv_archive_x(&s->front, slot), *c = a;
  const double *b = one_of(s, random, near, count);
  double length = 1;
  if (chance(random, DIFFERENCE)) {
    length = bv_random_normal(random);
    c = one_of(s, random, near, count);
  }
  differ(&s->problem->space, random, a, b, c, length, x);
}

static bool step_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  return fill_list(s, random, cell, step);
}

const bv_operator bv_operator_step = {
    .name = "step", .turn = step_turn, .plan = step_plan, .run = bv_run_list};

/* nudge: one or two coordinates of a point of the front, by steps of every
 * size; mostly such as the front extends along, and then anywhere, for there
 * another stretch of it may lie. */

/* How often along the front, and how often with a small step then: these are
 * left to what fills a front of three and more objectives, not of two. */
#define ALONG 0.8
#define BESIDE_OF_TWO 0.5

static bv_turn nudge_turn(const bv_search *s) {
  return bv_plan_started(s) && s->front.count > 0 ? BV_TURN_SHARE
                                                  : BV_TURN_NONE;
}

/* A variable by how far two random points of the front lie apart in it. */
static size_t variable_along(const bv_search *s, bv_random *random) {
  size_t n = s->problem->space.count;
  const double *a = bv_archive_units(&s->front, bv_near_any(s, random));
  const double *b = bv_archive_units(&s->front, bv_near_any(s, random));
  double sum = 0;
  for (size_t i = 0; i < n; i++)
    sum += fabs(a[i] - b[i]);
  double left = bv_random_unit(random) * sum;
  for (size_t i = 0; i < n; i++)
    if ((left -= fabs(a[i] - b[i])) < 0)
      return i;
  return bv_random_below(random, n); /* the same point twice */
}

/* By a step of any size. */
static double beside(const bv_variable *v, double value, bv_random *random) {
  double size = pow(10, -3 * bv_random_unit(random));
  if (bv_variable_is_discrete(v))
    return other_level(v, value, random);
  return bv_variable_decode(
      v, clamp(bv_variable_encode(v, value) + size * bv_random_normal(random)));
}

static double anywhere(const bv_variable *v, double value, bv_random *random) {
  if (bv_variable_is_discrete(v))
    return other_level(v, value, random);
  return bv_variable_decode(v, bv_random_unit(random));
}

static void nudge(bv_search *s, bv_random *random, double *x) {
  const bv_space *space = &s->problem->space;
  bool two = s->problem->objectives <= 2;
  memcpy(x, bv_archive_x(&s->front, bv_near_lonely(s, random)),
         space->count * sizeof *x);
  for (int k = chance(random, 0.2); k >= 0; k--) {
    bool along = chance(random, ALONG);
    size_t i = along ? variable_along(s, random)
                     : bv_random_below(random, space->count);
    bool leaps = along && !(two && chance(random, BESIDE_OF_TWO));
    x[i] = (leaps ? anywhere : beside)(&space->variables[i], x[i], random);
  }
}

static bool nudge_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  return fill_list(s, random, cell, nudge);
}

const bv_operator bv_operator_nudge = {.name = "nudge",
                                       .turn = nudge_turn,
                                       .plan = nudge_plan,
                                       .run = bv_run_list};
