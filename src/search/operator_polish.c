/* SPDX-License-Identifier: MIT */
/* polish: aims at a gap, from the corner its ends leave open. */
#include <math.h>
#include <string.h>

#include "search/near.h"
#include "search/slopes.h"
#include "search/solve.h"

/* Of three and more objectives every point is made of others and keeps what all
 * of them lack: the sooner some lie on the front itself, the better. Not while
 * the front still moves. The share at first, and the evaluations in which it is
 * halved. */
#define EARLY_SHARE 0.5
#define EARLY 3000.0

static double polish_share(const bv_search *s) {
  if (s->problem->objectives <= 2)
    return 0;
  return EARLY_SHARE * (1 - s->drift.share) /
         (1 + (double) s->state.evaluations / EARLY);
}

static bv_turn polish_turn(const bv_search *s) {
  return bv_plan_started(s) && s->movable > 0 && s->problem->objectives > 1 &&
                 s->front.count > 1
             ? BV_TURN_SHARE
             : BV_TURN_NONE;
}

/* The middle of the gap's points; discrete variables as at one of them. */
static void middle(const bv_search *s, const bv_gap *g, bv_random *random,
                   double *x) {
  const bv_space *space = &s->problem->space;
  size_t chosen = g->slots[bv_random_below(random, g->count)];
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    double sum = 0;
    for (size_t k = 0; k < g->count; k++)
      sum += bv_archive_units(&s->front, g->slots[k])[i];
    x[i] = bv_variable_is_discrete(v)
               ? bv_archive_x(&s->front, chosen)[i]
               : bv_variable_decode(v, sum / (double) g->count);
  }
}

/* From the best of each objective among the gap's points towards the worst. */
static void aim_at_gap(const bv_search *s, const bv_gap *g, double *origin,
                       double *weight) {
  for (size_t j = 0; j < s->problem->objectives; j++) {
    double lo = HUGE_VAL, hi = -HUGE_VAL;
    for (size_t k = 0; k < g->count; k++) {
      double f = bv_archive_objectives(&s->front, g->slots[k])[j];
      lo = fmin(lo, f);
      hi = fmax(hi, f);
    }
    origin[j] = lo;
    weight[j] = 1 / fmax(hi - lo, 1e-6 * s->yardstick.range[j]);
  }
}

/* Where the slopes hold; discrete variables stay. */
static void last_solved(const bv_search *s, double *x) {
  bv_slopes slopes = bv_slopes_view(s->problem, s->slopes);
  for (size_t i = 0; i < slopes.variables; i++) {
    const bv_variable *v = &s->problem->space.variables[i];
    if (!bv_variable_is_discrete(v))
      x[i] = bv_variable_decode(v, slopes.at[i]);
  }
}

/* The middle of the gap, or where the last solve ended: on the way along the
 * front from there to the gap it is left no more. Where the gap was tried in
 * vain, at times the population. */
static void polish_start(const bv_search *s, const bv_gap *g, bool in_vain,
                         bv_random *random, double *x) {
  middle(s, g, random, x);
  if (s->problem->objectives > 2 && *s->slopes > 0)
    last_solved(s, x);
  else if (in_vain && s->population.count > 0 && bv_random_below(random, 2))
    memcpy(x, bv_solve_start_member(s, random),
           s->problem->space.count * sizeof *x);
}

static bool polish_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  double x[BV_SPACE_MOST];
  double origin[BV_OBJECTIVES_MOST], weight[BV_OBJECTIVES_MOST];
  bv_gap g;
  if (!bv_near_gap(s, random, &g))
    return false;
  uint32_t *tries = &s->front.tries[g.slots[0]];
  aim_at_gap(s, &g, origin, weight);
  polish_start(s, &g, *tries > 0, random, x);
  bv_solve_plan(s, cell, x, true, origin, weight, 1e-3);
  ++*tries;
  return true;
}

const bv_operator bv_operator_polish = {.name = "polish",
                                        .share = polish_share,
                                        .turn = polish_turn,
                                        .plan = polish_plan,
                                        .run = bv_solve_run,
                                        .learn = bv_solve_learn};
