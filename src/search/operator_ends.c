/* SPDX-License-Identifier: MIT */
/* ends: goes on from where a branch of discrete values has least of an
 * objective: beside points near by, or on the way to where a branch alike has
 * least of it. Where an objective is the same all over each branch, such as the
 * size of a core, no better branch cuts one's front short: by what its end gets
 * further it leads beside all that is worse in the others. The leads by which
 * operators earn their shares tell little of that, so it has one of its own. */
#include <math.h>

#include "search/near.h"
#include "search/vary.h"

/* Points near an end; branches looked at for one that is alike. */
enum { NEIGHBOURS = 6, RIVALS = 8 };

/* Share of the budget where every branch has many points. */
#define SHARE 0.12

/* How often on the way to an end alike, and how often all the way then. */
#define TO_ALIKE 0.5
#define WHOLE 0.5

static bv_turn ends_turn(const bv_search *s) {
  size_t list[BV_OBJECTIVES_MOST],
      count = bv_branches_moving(&s->branches, list);
  return bv_plan_started(s) && s->front.count > s->front.branches.standing &&
                 count > 0 && count < s->problem->objectives
             ? BV_TURN_SHARE
             : BV_TURN_NONE;
}

/* A branch of a single point is all end, and its pool is enough for that
 * (operator_branch.c). */
static double ends_share(const bv_search *s) {
  double points = (double) s->front.count;
  return SHARE * (1 - (double) s->front.branches.standing / points);
}

/* The branch of a random point: one that has more of the front is searched
 * more. */
static size_t standing_branch(const bv_search *s, bv_random *random) {
  return s->front.branches.of[bv_near_any(s, random)];
}

/* The end of the nearest of a few other branches on the front; of this one:
 * none was found. */
static size_t end_alike(const bv_search *s, size_t branch, size_t objective,
                        bv_random *random) {
  size_t alike = branch;
  double least = HUGE_VAL;
  for (int i = 0; i < RIVALS; i++) {
    size_t other = standing_branch(s, random);
    double distance = bv_keys_distance(&s->front.keys, branch, other);
    if (other == branch || distance >= least)
      continue;
    least = distance;
    alike = other;
  }
  return bv_archive_end(&s->front, alike, objective);
}

static size_t one_beside(const bv_search *s, size_t slot, bv_random *random) {
  size_t near[NEIGHBOURS];
  size_t count = bv_near(s, slot, random, near, NEIGHBOURS);
  return near[bv_random_below(random, count)];
}

static double part_of_way(bv_random *random) {
  return bv_random_chance(random, WHOLE) ? 1 : bv_random_unit(random);
}

static void go_on(const bv_search *s, bv_random *random, double *x) {
  size_t list[BV_OBJECTIVES_MOST] = {0},
         count = bv_branches_moving(&s->branches, list);
  size_t branch = standing_branch(s, random);
  size_t objective = list[bv_random_below(random, count)];
  size_t end = bv_archive_end(&s->front, branch, objective);
  bool to_alike = bv_random_chance(random, TO_ALIKE);
  size_t other = to_alike ? end_alike(s, branch, objective, random)
                          : one_beside(s, end, random);
  double length = to_alike ? part_of_way(random) : bv_random_normal(random);
  const double *from = bv_archive_x(&s->front, end);
  const double *to = bv_archive_x(&s->front, other);
  bv_vary_differ(&s->problem->space, random, from, to, from, length, x);
  bv_keys_place(&s->front.keys, branch, x);
}

static bool ends_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  return bv_vary_list(s, random, cell, go_on);
}

const bv_operator bv_operator_ends = {.name = "ends",
                                      .share = ends_share,
                                      .turn = ends_turn,
                                      .plan = ends_plan,
                                      .run = bv_run_list};
