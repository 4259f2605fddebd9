/* SPDX-License-Identifier: MIT */
/* anchor: the least of one objective, the others weighed lightly. Without any
 * feasible point it leads from the population to one. */
#include <string.h>

#include "search/solve.h"

static bv_turn anchor_turn(const bv_search *s) {
  return bv_plan_started(s) && s->movable > 0 &&
                 s->front.count + s->population.count > 0
             ? BV_TURN_SHARE
             : BV_TURN_NONE;
}

static const double *best_x(const bv_search *s, size_t objective) {
  size_t best = s->front.live[0];
  for (size_t i = 1; i < s->front.count; i++) {
    size_t slot = s->front.live[i];
    if (bv_archive_objectives(&s->front, slot)[objective] <
        bv_archive_objectives(&s->front, best)[objective])
      best = slot;
  }
  return bv_archive_x(&s->front, best);
}

/* The best point so far at first and now and then, else a member of the
 * population or chance: an end that lies in another basin is found by starting
 * there. False where that is far from all that is known. */
static bool anchor_start(const bv_search *s, size_t j, bv_random *random,
                         double *x) {
  const bv_space *space = &s->problem->space;
  bool best = s->front.count > 0 && (s->anchors < s->problem->objectives ||
                                     !bv_random_below(random, 4));
  bool member = s->population.count > 0 && bv_random_below(random, 2);
  if (best || member) {
    memcpy(x, best ? best_x(s, j) : bv_solve_start_member(s, random),
           space->count * sizeof *x);
    return true;
  }
  for (size_t i = 0; i < space->count; i++)
    x[i] = bv_variable_decode(&space->variables[i], bv_random_unit(random));
  return false;
}

static bool anchor_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  size_t j = s->anchors % s->problem->objectives;
  double x[BV_SPACE_MOST];
  double origin[BV_OBJECTIVES_MOST], weight[BV_OBJECTIVES_MOST];
  bv_solve_aim_at_end(s, j, origin, weight);
  bool near = anchor_start(s, j, random, x);
  bv_solve_plan(s, cell, x, near, origin, weight, 0.005);
  s->anchors++;
  return true;
}

const bv_operator bv_operator_anchor = {.name = "anchor",
                                        .turn = anchor_turn,
                                        .plan = anchor_plan,
                                        .run = bv_solve_run,
                                        .learn = bv_solve_learn_apart};
