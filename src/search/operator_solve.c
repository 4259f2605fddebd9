/* SPDX-License-Identifier: MIT */
/* Operators that run a local solve: at the largest gap of the front, and at its
 * ends. A cell holds the start, origin and weights of the subproblem, rho,
 * whether curvatures are measured, and the slopes known so far; the run notes
 * the slopes it leaves, with curvatures where it measured them. */
#include <math.h>
#include <string.h>

#include "search/near.h"
#include "search/plan.h"
#include "search/solver.h"

/* Steps of a solve past the measuring of slopes. */
enum { SOLVE_STEPS = 20 };

/* A cell's numbers as a subproblem; what follows them. */
static const double *read_cell(const bv_problem *p, const bv_cell *cell,
                               bv_subproblem *sub) {
  const double *origin = cell->data + p->space.count;
  const double *weight = origin + p->objectives;
  const double *rho = weight + p->objectives, *curved = rho + 1;
  *sub = (bv_subproblem){.start = cell->data,
                         .aim = {.objectives = p->objectives,
                                 .limits = p->limits,
                                 .origin = origin,
                                 .weight = weight,
                                 .rho = *rho},
                         .curved = *curved > 0};
  return curved + 1;
}

static void solve_run(bv_log *log, const bv_cell *cell) {
  const bv_problem *p = log->problem;
  size_t size = bv_slopes_size(p);
  bv_subproblem sub;
  const double *slopes = read_cell(p, cell, &sub);
  memcpy(log->result->note, slopes, size * sizeof *slopes);
  bv_solve_end end = bv_solve(log, &sub, bv_slopes_view(p, log->result->note));
  log->result->note_length =
      sub.curved && end != BV_SOLVE_POINTLESS ? size : bv_slopes_size_flat(p);
}

static void solve_learn(bv_search *s, const bv_cell *cell,
                        const bv_cell_result *result, double gain) {
  size_t flat = bv_slopes_size_flat(s->problem);
  size_t size = bv_slopes_size(s->problem);
  bv_subproblem sub;
  read_cell(s->problem, cell, &sub);
  /* Slopes that led nowhere are measured anew. */
  if (gain <= 0)
    *s->slopes = 0;
  else if (result->note_length >= flat)
    memcpy(s->slopes, result->note, flat * sizeof *s->slopes);
  if (result->note_length == size)
    memcpy(s->slopes + flat, result->note + flat,
           (size - flat) * sizeof *s->slopes);
  else if (sub.curved)
    s->curvatures_asked = false;
}

/* Curvatures are measured once, by a solve that measures slopes. They pay where
 * every point is made of others. */
static bool asks_for_curvatures(bv_search *s, bool slopes_known) {
  bool asks =
      s->problem->objectives > 2 && !slopes_known && !s->curvatures_asked;
  s->curvatures_asked = s->curvatures_asked || asks;
  return asks;
}

/* `near`: the slopes known are of some use at the start. */
static void plan_solve(bv_search *s, bv_cell *cell, const double *start,
                       bool near, const double *origin, const double *weight,
                       double rho) {
  size_t m = s->problem->objectives, size = bv_slopes_size(s->problem);
  bool known = near && *s->slopes > 0;
  bool curved = asks_for_curvatures(s, known);
  bv_plan_numbers(cell, start, s->problem->space.count);
  bv_plan_numbers(cell, origin, m);
  bv_plan_numbers(cell, weight, m);
  bv_plan_numbers(cell, &rho, 1);
  bv_plan_numbers(cell, &(double){curved}, 1);
  bv_plan_numbers(cell, s->slopes, size);
  cell->data[cell->length - size] = known;
  size_t wanted =
      1 + SOLVE_STEPS + (known ? 0 : s->movable) + (curved ? s->movable : 0);
  /* With one objective there is nothing else to spread evaluations over. */
  if (m > 1 && cell->most > wanted)
    cell->most = (uint32_t) wanted;
}

static const double *population_start(const bv_search *s, bv_random *random) {
  return bv_population_x(&s->population,
                         bv_population_tournament(&s->population, random));
}

/* polish: aims at a gap, from the corner its ends leave open. */

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
    memcpy(x, population_start(s, random), s->problem->space.count * sizeof *x);
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
  plan_solve(s, cell, x, true, origin, weight, 1e-3);
  ++*tries;
  return true;
}

const bv_operator bv_operator_polish = {.name = "polish",
                                        .share = polish_share,
                                        .turn = polish_turn,
                                        .plan = polish_plan,
                                        .run = solve_run,
                                        .learn = solve_learn};

/* anchor: the least of one objective, the others weighed lightly. Without any
 * feasible point it leads from the population to one. */

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

/* Only objective j counts in the maximum: far origins keep the others out. */
static void aim_at_end(const bv_search *s, size_t j, double *origin,
                       double *weight) {
  for (size_t k = 0; k < s->problem->objectives; k++) {
    double range = s->yardstick.range[k];
    origin[k] = s->yardstick.ideal[k] + (k == j ? 0 : 1e4 * range);
    weight[k] = 1 / range;
  }
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
    memcpy(x, best ? best_x(s, j) : population_start(s, random),
           space->count * sizeof *x);
    return true;
  }
  for (size_t i = 0; i < space->count; i++)
    x[i] = bv_variable_decode(&space->variables[i], bv_random_unit(random));
  return false;
}

/* The slopes at an end of the front mislead along it. */
static void anchor_learn(bv_search *s, const bv_cell *cell,
                         const bv_cell_result *result, double gain) {
  solve_learn(s, cell, result, gain);
  if (s->problem->objectives > 1)
    *s->slopes = 0;
}

static bool anchor_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  size_t j = s->anchors % s->problem->objectives;
  double x[BV_SPACE_MOST];
  double origin[BV_OBJECTIVES_MOST], weight[BV_OBJECTIVES_MOST];
  aim_at_end(s, j, origin, weight);
  bool near = anchor_start(s, j, random, x);
  plan_solve(s, cell, x, near, origin, weight, 0.005);
  s->anchors++;
  return true;
}

const bv_operator bv_operator_anchor = {.name = "anchor",
                                        .turn = anchor_turn,
                                        .plan = anchor_plan,
                                        .run = solve_run,
                                        .learn = anchor_learn};
