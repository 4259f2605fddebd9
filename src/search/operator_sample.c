/* SPDX-License-Identifier: MIT */
/* Operators that don't learn: the first sample, chance, and the exact
 * evaluation of points found with relaxed models. */
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
  bool empty = s->population.count == 0 && s->guide->count == 0;
  return empty && bv_plan_started(s) ? BV_TURN_SHARE : BV_TURN_NONE;
}

static void plan_rest_of_sample(bv_search *s, bv_cell *cell) {
  size_t n = s->problem->space.count;
  while (s->sampled < s->sample_rows && cell->length < cell->most * n)
    bv_plan_point(s, cell, s->sample + n * s->sampled++);
  s->sample_cells = s->planned + 1;
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

/* confirm: points of the relaxed archive, evaluated exactly. While relaxed
 * models guide the search a small share keeps the front stocked, so that a
 * search cut short has one; afterwards the rest follows. */

#define CONFIRMED_SHARE 0.05

static bv_turn confirm_turn(const bv_search *s) {
  if (!s->any_relaxed || s->relaxed.inexact == 0)
    return BV_TURN_NONE;
  bool due =
      !s->relaxing ||
      (double) s->confirmed < CONFIRMED_SHARE * (double) s->state.evaluations;
  return due ? BV_TURN_FIRST : BV_TURN_NONE;
}

static bool confirm_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  bv_archive *a = &s->relaxed;
  double x[BV_SPACE_MOST];
  size_t n = s->problem->space.count;
  cell->relaxed = false;
  size_t begin = bv_random_below(random, a->count);
  for (size_t i = 0; i < a->count && cell->length < cell->most * n; i++) {
    size_t slot = a->live[(begin + i) % a->count];
    if (a->exact[slot])
      continue;
    bv_archive_mark_exact(a, slot);
    memcpy(x, bv_archive_x(a, slot), n * sizeof *x);
    bv_plan_point(s, cell, x);
  }
  s->confirmed += cell->length / n;
  return cell->length > 0;
}

const bv_operator bv_operator_confirm = {.name = "confirm",
                                         .turn = confirm_turn,
                                         .plan = confirm_plan,
                                         .run = bv_run_list};
