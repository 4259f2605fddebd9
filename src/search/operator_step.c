/* SPDX-License-Identifier: MIT */
/* step: some variables of a neighbour on the front, or a difference of two,
 * added to a point near by. What is best for a stretch of the front, such as a
 * variable at its best value, spreads along it whole. */
#include "search/near.h"
#include "search/vary.h"

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

static void step(const bv_search *s, bv_random *random, double *x) {
  size_t slot = bv_near_lonely(s, random), near[6];
  size_t count = bv_near(s, slot, random, near, 6);
  const double *a = bv_archive_x(&s->front, slot), *c = a;
  const double *b = one_of(s, random, near, count);
  double length = 1;
  if (bv_random_chance(random, DIFFERENCE)) {
    length = bv_random_normal(random);
    c = one_of(s, random, near, count);
  }
  bv_vary_differ(&s->problem->space, random, a, b, c, length, x);
}

static bool step_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  return bv_vary_list(s, random, cell, step);
}

const bv_operator bv_operator_step = {
    .name = "step", .turn = step_turn, .plan = step_plan, .run = bv_run_list};
