/* SPDX-License-Identifier: MIT */
/* carry: a point of the front is carried to a branch of discrete values beside
 * its own, and a local solve goes on from there. What another core or part
 * spoils, other turns or another current often make good: by chance both are
 * seldom found at once. It is for branches so many that their pools
 * (operator_branch.c) can't be filled, of which few make the whole front: one
 * that is on it leads to the next. Where an objective is the same all over each
 * branch, all of them count; of three and more objectives most do. */
#include <string.h>

#include "search/solve.h"
#include "search/vary.h"

/* Share of the budget where the evaluations of a branch wouldn't fill so many
 * pools. */
#define SHARE 0.3
enum { POOLS_FEW = 3 };

/* How often a second value changes, how often the solve goes for an end of the
 * front instead of past the point, and attempts to find another branch. */
#define TWO 0.5
#define TO_END 0.3
enum { ATTEMPTS = 20 };

static bool are_many(const bv_branches *b, uint64_t evaluations) {
  double pools = (double) evaluations / (double) (b->count * BV_POOL_SIZE);
  return b->count > 1 && pools < POOLS_FEW;
}

static bool few_stand(const bv_branches *b) {
  size_t list[BV_OBJECTIVES_MOST], objectives = b->problem->objectives;
  return objectives <= 2 && bv_branches_moving(b, list) == objectives;
}

static bv_turn carry_turn(const bv_search *s) {
  return bv_plan_started(s) && s->movable > 0 && s->front.count > 0 &&
                 are_many(&s->branches, s->options.evaluations) &&
                 few_stand(&s->branches)
             ? BV_TURN_SHARE
             : BV_TURN_NONE;
}

static double carry_share(const bv_search *s) {
  (void) s;
  return SHARE;
}

/* A point of a random branch on the front: those that have one point are as
 * good to start from as those that have thousands. */
static size_t point_of_any_branch(const bv_search *s, bv_random *random) {
  const bv_group *group = s->front.branches.list;
  size_t before = bv_random_below(random, s->front.branches.standing);
  while (group->count == 0 || before-- > 0)
    group++;
  return group->slots[bv_random_below(random, group->count)];
}

/* Changes one or two of the values that tell branches. */
static void change_branch(const bv_keys *keys, bv_random *random, double *x) {
  for (int k = bv_random_chance(random, TWO); k >= 0; k--) {
    size_t i = keys->variable[bv_random_below(random, keys->variable_count)];
    x[i] = bv_vary_level(&keys->space->variables[i], x[i], random);
  }
}

/* Past a point: to where all objectives are better. */
static void aim_past(const bv_search *s, size_t slot, double *origin,
                     double *weight) {
  const double *f = bv_archive_objectives(&s->front, slot);
  for (size_t j = 0; j < s->problem->objectives; j++) {
    origin[j] = f[j];
    weight[j] = 1 / s->yardstick.range[j];
  }
}

static void aim(const bv_search *s, size_t slot, bv_random *random,
                double *origin, double *weight) {
  size_t m = s->problem->objectives;
  if (bv_random_chance(random, TO_END))
    bv_solve_aim_at_end(s, bv_random_below(random, m), origin, weight);
  else
    aim_past(s, slot, origin, weight);
}

static bool carry_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  const bv_keys *keys = &s->front.keys;
  double x[BV_SPACE_MOST];
  double origin[BV_OBJECTIVES_MOST], weight[BV_OBJECTIVES_MOST];
  for (int i = 0; i < ATTEMPTS; i++) {
    size_t slot = point_of_any_branch(s, random);
    memcpy(x, bv_archive_x(&s->front, slot), keys->space->count * sizeof *x);
    change_branch(keys, random, x);
    if (bv_keys_branch(keys, x) == s->front.branches.of[slot])
      continue;
    aim(s, slot, random, origin, weight);
    bv_solve_plan(s, cell, x, false, origin, weight, 1e-3);
    return true;
  }
  return false;
}

const bv_operator bv_operator_carry = {.name = "carry",
                                       .share = carry_share,
                                       .turn = carry_turn,
                                       .plan = carry_plan,
                                       .run = bv_solve_run,
                                       .learn = bv_solve_learn_apart};
