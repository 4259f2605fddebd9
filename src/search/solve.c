/* SPDX-License-Identifier: MIT */
#include "search/solve.h"

#include <string.h>

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

void bv_solve_run(bv_log *log, const bv_cell *cell) {
  const bv_problem *p = log->problem;
  size_t size = bv_slopes_size(p);
  bv_subproblem sub;
  const double *slopes = read_cell(p, cell, &sub);
  memcpy(log->result->note, slopes, size * sizeof *slopes);
  bv_solve_end end = bv_solve(log, &sub, bv_slopes_view(p, log->result->note));
  log->result->note_length =
      sub.curved && end != BV_SOLVE_POINTLESS ? size : bv_slopes_size_flat(p);
}

void bv_solve_learn(bv_search *s, const bv_cell *cell,
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

void bv_solve_plan(bv_search *s, bv_cell *cell, const double *start, bool near,
                   const double *origin, const double *weight, double rho) {
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

void bv_solve_learn_apart(bv_search *s, const bv_cell *cell,
                          const bv_cell_result *result, double gain) {
  bv_solve_learn(s, cell, result, gain);
  if (s->problem->objectives > 1)
    *s->slopes = 0;
}

/* Far origins keep the others out of the maximum. */
void bv_solve_aim_at_end(const bv_search *s, size_t j, double *origin,
                         double *weight) {
  for (size_t k = 0; k < s->problem->objectives; k++) {
    double range = s->yardstick.range[k];
    origin[k] = s->yardstick.ideal[k] + (k == j ? 0 : 1e4 * range);
    weight[k] = 1 / range;
  }
}

const double *bv_solve_start_member(const bv_search *s, bv_random *random) {
  return bv_population_x(&s->population,
                         bv_population_tournament(&s->population, random));
}
