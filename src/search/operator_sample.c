/* SPDX-License-Identifier: MIT */
/* The operator that doesn't learn: the first sample, and chance. */
#include <math.h>
#include <string.h>

#include "search/plan.h"

void bv_run_list(bv_log *log, const bv_cell *cell) {
  size_t n = log->problem->space.count;
  for (size_t i = 0; i < cell->length; i += n)
    bv_log_evaluate(log, cell->data + i);
}

/* sample: starts and a Latin hypercube (M. McKay, R. Beckman, W. Conover,
 * Technometrics 21(2), 1979) at first; chance where nothing else works. */

static bv_turn sample_turn(const bv_search *s) {
  if (s->sampled < s->sample_rows)
    return BV_TURN_FIRST;
  bool empty = s->population.count == 0 && s->front.count == 0;
  return empty && bv_plan_started(s) ? BV_TURN_SHARE : BV_TURN_NONE;
}

static void plan_rest_of_sample(bv_search *s, bv_cell *cell) {
  size_t n = s->problem->space.count;
  while (s->sampled < s->sample_rows && cell->length < cell->most * n) {
    bv_plan_point(s, cell, s->sample + n * s->sampled++);
    s->sample_cells = s->planned + 1;
  }
}

static void plan_chance(bv_search *s, bv_random *random, bv_cell *cell) {
  const bv_space *space = &s->problem->space;
  double x[BV_SPACE_MOST];
  for (int tries = 0; tries < 4 * BV_LIST_SIZE; tries++) {
    for (size_t i = 0; i < space->count; i++)
      x[i] = bv_variable_decode(&space->variables[i], bv_random_unit(random));
    if (cell->length < cell->most * space->count)
      bv_plan_point(s, cell, x);
  }
}

/* The point with a number in a finite space, mixed-radix. */
static void point_by_number(const bv_space *space, uint64_t number, double *x) {
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    size_t levels = bv_variable_levels(v);
    levels = levels ? levels : 1;
    x[i] = bv_variable_decode(v, ((double) (number % levels) + 0.5) /
                                     (double) levels);
    number /= levels;
  }
}

/* What chance misses in a space with few points left is found by counting. */
static void plan_by_count(bv_search *s, bv_cell *cell) {
  double x[BV_SPACE_MOST];
  size_t n = s->problem->space.count;
  while ((double) s->visits < s->size && cell->length < cell->most * n) {
    point_by_number(&s->problem->space, s->visits++, x);
    bv_plan_point(s, cell, x);
  }
}

static bool sample_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  plan_rest_of_sample(s, cell);
  if (cell->length == 0)
    plan_chance(s, random, cell);
  if (cell->length == 0 && s->size < 1e9)
    plan_by_count(s, cell);
  return cell->length > 0;
}

const bv_operator bv_operator_sample = {.name = "sample",
                                        .turn = sample_turn,
                                        .plan = sample_plan,
                                        .run = bv_run_list};
