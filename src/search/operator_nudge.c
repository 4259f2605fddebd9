/* SPDX-License-Identifier: MIT */
/* nudge: one or two coordinates of a point of the front, by steps of every
 * size; mostly such as the front extends along, and then anywhere, for there
 * another stretch of it may lie. */
#include <math.h>
#include <string.h>

#include "search/near.h"
#include "search/vary.h"

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
    return bv_vary_level(v, value, random);
  return bv_vary_by(v, value, size * bv_random_normal(random));
}

static double anywhere(const bv_variable *v, double value, bv_random *random) {
  if (bv_variable_is_discrete(v))
    return bv_vary_level(v, value, random);
  return bv_variable_decode(v, bv_random_unit(random));
}

static void nudge(const bv_search *s, bv_random *random, double *x) {
  const bv_space *space = &s->problem->space;
  bool two = s->problem->objectives <= 2;
  memcpy(x, bv_archive_x(&s->front, bv_near_lonely(s, random)),
         space->count * sizeof *x);
  for (int k = bv_random_chance(random, 0.2); k >= 0; k--) {
    bool along = bv_random_chance(random, ALONG);
    size_t i = along ? variable_along(s, random)
                     : bv_random_below(random, space->count);
    bool leaps = along && !(two && bv_random_chance(random, BESIDE_OF_TWO));
    x[i] = (leaps ? anywhere : beside)(&space->variables[i], x[i], random);
  }
}

static bool nudge_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  return bv_vary_list(s, random, cell, nudge);
}

const bv_operator bv_operator_nudge = {.name = "nudge",
                                       .turn = nudge_turn,
                                       .plan = nudge_plan,
                                       .run = bv_run_list};
