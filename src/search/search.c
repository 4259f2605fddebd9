/* SPDX-License-Identifier: MIT */
#include "search/search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "search/memory.h"
#include "search/plan.h"
#include "search/slopes.h"

/* The least share of the budget of every operator; less where points of three
 * and more objectives are made of others, which loses most by what is spent
 * elsewhere, unless there are branches: the first feasible point of one can be
 * long in coming. */
#define FLOOR 0.04
#define FLOOR_OF_SHEET 0.02

_Static_assert(BV_HOPES >= BV_CELLS_AHEAD * BV_LIST_SIZE,
               "the hopes of all cells under way are kept");

bv_search_options bv_search_defaults(void) {
  return (bv_search_options){
      .seed = 1, .evaluations = 20000, .hypervolume_target = HUGE_VAL};
}

/* Making */

static bv_status check(const bv_problem *problem,
                       const bv_search_options *options, bv_error *error) {
  if (problem->objectives < 1 || problem->objectives > BV_OBJECTIVES_MOST)
    return bv_fail(error, BV_BAD_DATA, "expected 1 … %d objectives, found %zu",
                   BV_OBJECTIVES_MOST, problem->objectives);
  if (problem->limits > BV_LIMITS_MOST)
    return bv_fail(error, BV_BAD_DATA, "expected at most %d limits, found %zu",
                   BV_LIMITS_MOST, problem->limits);
  if (options->evaluations < 1)
    return bv_fail(error, BV_BAD_DATA,
                   "expected a budget of at least 1 evaluation, found 0");
  if (isnan(options->hypervolume_target))
    return bv_fail(error, BV_BAD_DATA,
                   "expected a number as hypervolume target, found nan");
  for (size_t i = 0; i < options->start_count * problem->space.count; i++)
    if (!isfinite(options->starts[i]))
      return bv_fail(error, BV_BAD_DATA,
                     "start %zu: expected finite values, found %g for %s",
                     i / problem->space.count + 1, options->starts[i],
                     problem->space.variables[i % problem->space.count].name);
  return bv_space_check(&problem->space, error);
}

static size_t count_movable(const bv_space *space) {
  size_t count = 0;
  for (size_t i = 0; i < space->count; i++)
    count += !bv_variable_is_discrete(&space->variables[i]) &&
             space->variables[i].lo < space->variables[i].hi;
  return count;
}

/* The starts, then a Latin hypercube that fits the budget. */
static void make_sample(bv_search *s) {
  size_t n = s->problem->space.count, starts = s->options.start_count;
  uint64_t left =
      s->options.evaluations > starts ? s->options.evaluations - starts : 0;
  size_t rows = left < BV_SAMPLE_SIZE ? (size_t) left : BV_SAMPLE_SIZE;
  bv_random random = bv_random_keyed(s->options.seed, UINT64_MAX, 0);
  s->sample_rows = starts + rows;
  s->sample = bv_allocate(s->sample_rows * n, sizeof *s->sample);
  if (starts)
    memcpy(s->sample, s->options.starts, starts * n * sizeof *s->sample);
  size_t order[BV_SAMPLE_SIZE] = {0};
  for (size_t i = 0; i < n; i++)
    bv_variable_spread(&s->problem->space.variables[i], &random, rows, order,
                       s->sample + starts * n + i, n);
}

static size_t point_size(const bv_problem *p) {
  return p->space.count + p->objectives + p->limits;
}

bv_status bv_search_new(const bv_problem *problem,
                        const bv_search_options *options, bv_search **search,
                        bv_error *error) {
  *search = NULL;
  if (check(problem, options, error))
    return BV_BAD_DATA;
  bv_search *s = bv_allocate(1, sizeof *s);
  s->problem = problem;
  s->options = *options;
  s->movable = count_movable(&problem->space);
  s->size = bv_space_size(&problem->space);
  bv_archive_init(&s->front, problem);
  bv_beyond_init(&s->beyond, problem);
  bv_population_init(&s->population, problem, BV_POPULATION_SIZE);
  bv_branches_init(&s->branches, problem, options->evaluations);
  for (size_t j = 0; j < BV_OBJECTIVES_MOST; j++) {
    s->sampled_lo[j] = HUGE_VAL;
    s->sampled_hi[j] = -HUGE_VAL;
  }
  s->slopes = bv_allocate(bv_slopes_size(problem), sizeof *s->slopes);
  s->nearest = bv_allocate(BV_NEAREST_MOST * (1 + point_size(problem)),
                           sizeof *s->nearest);
  bv_failures_init(&s->failures, problem->space.count);
  bv_hopes_init(&s->hopes, problem->objectives);
  bv_outdone_init(&s->outdone, problem->space.count);
  /* Of three and more objectives a gain is but the power of a lead, which
   * favours the operator that is lucky now and then. */
  s->credit.squared = problem->objectives > 2;
  s->cache = bv_allocate(1, sizeof *s->cache);
  s->window_end = options->stagnation;
  make_sample(s);
  *search = s;
  return BV_OK;
}

void bv_search_free(bv_search *s) {
  if (!s)
    return;
  bv_archive_free(&s->front);
  bv_beyond_free(&s->beyond);
  bv_population_free(&s->population);
  bv_branches_free(&s->branches);
  bv_seen_free(&s->seen);
  bv_failures_free(&s->failures);
  free(s->slopes);
  bv_hopes_free(&s->hopes);
  bv_outdone_free(&s->outdone);
  free(s->sample);
  free(s->nearest);
  free(s->cache->order);
  free(s->cache);
  free(s);
}

/* Planning */

void bv_plan_numbers(bv_cell *cell, const double *numbers, size_t count) {
  while (cell->length + count > cell->room)
    cell->data = bv_grow(cell->data, &cell->room, sizeof *cell->data);
  memcpy(cell->data + cell->length, numbers, count * sizeof *numbers);
  cell->length += count;
}

bool bv_plan_point(bv_search *s, bv_cell *cell, double *x) {
  size_t n = s->problem->space.count;
  bv_space_snap(&s->problem->space, x);
  if (!bv_seen_add(&s->seen, x, n))
    return false;
  bv_plan_numbers(cell, x, n);
  return true;
}

bool bv_plan_started(const bv_search *s) {
  return s->sampled == s->sample_rows && s->state.cells >= s->sample_cells;
}

/* Whose turn it is: the first operator that goes before all others alone, else
 * all that share. False where none has anything to do. */
static bool whose_turn(const bv_search *s, bool *suits) {
  bool any = false;
  for (size_t i = 0; i < bv_operator_count; i++) {
    bv_turn turn = bv_operators[i]->turn(s);
    suits[i] = turn != BV_TURN_NONE;
    any = any || suits[i];
    if (turn == BV_TURN_FIRST) {
      memset(suits, 0, i * sizeof *suits);
      memset(suits + i + 1, 0, (bv_operator_count - i - 1) * sizeof *suits);
      return true;
    }
  }
  return any;
}

bool bv_search_wants(const bv_search *s) {
  bool suits[BV_OPERATORS_MOST];
  return s->planned - s->state.cells < BV_CELLS_AHEAD &&
         bv_budget_left(s) > 0 && whose_turn(s, suits);
}

static bool plan_by(bv_search *s, size_t operator, bv_cell * cell) {
  uint64_t left = bv_budget_left(s);
  bv_random random = bv_random_keyed(s->options.seed, s->planned, operator);
  cell->operator=(uint32_t) operator;
  cell->length = 0;
  cell->most = BV_CELL_MOST;
  if (bv_operators[operator]->run == bv_run_list)
    cell->most = BV_LIST_SIZE;
  if (cell->most > left)
    cell->most = (uint32_t) left;
  if (!bv_operators[operator]->plan(s, &random, cell))
    return false;
  if (bv_operators[operator]->run == bv_run_list)
    cell->most = (uint32_t) (cell->length / s->problem->space.count);
  return true;
}

/* Where chance finds nothing new either, and nothing is out that could give
 * others something to vary, there is nothing left: a range may hold a handful
 * of doubles. */
static void plan_nothing(bv_search *s, bv_cell *cell) {
  cell->most = 0;
  if (s->promised == 0)
    bv_search_stop(s, BV_STOP_EXHAUSTED);
}

static double own_share(const bv_search *s, const bv_operator *o) {
  return o->share ? o->share(s) : 0;
}

/* The least share of each operator: its own, and of the rest a floor for all,
 * so that none is forgotten, and what the drift of the front leaves to those
 * that seek; below 0: none. */
static void least_shares(const bv_search *s, double *least) {
  bool suits[BV_OPERATORS_MOST];
  whose_turn(s, suits);
  double seeking = s->drift.share, rest = 1, share[BV_OPERATORS_MOST];
  bool sheet = s->problem->objectives > 2 && s->branches.count <= 1;
  double floor = sheet ? FLOOR_OF_SHEET : FLOOR;
  for (size_t i = 0; i < bv_operator_count; i++)
    rest -= share[i] = suits[i] ? own_share(s, bv_operators[i]) : 0;
  for (size_t i = 0; i < bv_operator_count; i++) {
    const bv_operator *o = bv_operators[i];
    least[i] =
        share[i] + rest * (floor * (1 - seeking) + (o->seeks ? seeking : 0));
    if (!suits[i])
      least[i] = -1;
  }
}

void bv_search_take(bv_search *s, bv_cell *cell) {
  double least[BV_OPERATORS_MOST];
  size_t count = bv_operator_count;
  cell->number = s->planned;
  least_shares(s, least);
  size_t chosen = bv_credit_choose(&s->credit, least, count);
  /* An operator that finds nothing new leaves its turn to the next. */
  while (chosen < count && !plan_by(s, chosen, cell)) {
    least[chosen] = -1;
    chosen = bv_credit_choose(&s->credit, least, count);
  }
  if (chosen == count) {
    chosen = 0;
    if (!plan_by(s, chosen, cell))
      plan_nothing(s, cell);
  }
  bv_credit_charge(&s->credit, least, count, chosen, cell->most);
  s->promised += cell->most;
  s->planned++;
}

/* Merging */

static void keep_nearest(bv_search *s, const bv_record_view *view,
                         double violation) {
  size_t size = 1 + point_size(s->problem), i = s->nearest_count;
  if (i == BV_NEAREST_MOST && violation >= s->nearest[(i - 1) * size])
    return;
  i = i < BV_NEAREST_MOST ? s->nearest_count++ : i - 1;
  for (; i > 0 && s->nearest[(i - 1) * size] > violation; i--)
    memcpy(s->nearest + i * size, s->nearest + (i - 1) * size,
           size * sizeof *s->nearest);
  s->nearest[i * size] = violation;
  memcpy(s->nearest + i * size + 1, view->x, (size - 1) * sizeof *s->nearest);
}

static void measure_sample(bv_search *s, const double *objectives) {
  for (size_t j = 0; j < s->problem->objectives; j++) {
    s->sampled_lo[j] = fmin(s->sampled_lo[j], objectives[j]);
    s->sampled_hi[j] = fmax(s->sampled_hi[j], objectives[j]);
  }
}

/* A feasible point, for the front, or one that is near; returns what it gained.
 */
static double take_in_front(bv_search *s, const bv_record_view *view) {
  double violation = bv_violation(s->problem, view->limits);
  if (violation > 0) {
    keep_nearest(s, view, violation);
    bv_beyond_offer(&s->beyond, view->x, view->objectives, view->limits,
                    &s->front, &s->yardstick);
    return 0;
  }
  s->state.feasible++;
  double gain = bv_archive_offer(&s->front, view->x, view->objectives,
                                 view->limits, &s->yardstick);
  bv_outdone_add(&s->outdone, &s->front);
  return gain > 0 ? gain : 0;
}

/* Where there is one branch alone it has no use for a pool; else a pool's own
 * points find their rivals by themselves (operator_branch.c). A branch's best
 * is its own whoever found it. */
static void take_in_branch(bv_search *s, const bv_cell *cell,
                           const bv_record_view *view, double violation) {
  if (s->branches.count <= 1)
    return;
  if (bv_operators[cell->operator] != &bv_operator_branch)
    bv_branches_offer(&s->branches, 0, view->x, view->objectives, violation,
                      BV_RIVAL_NEAREST);
  bv_branches_judge(&s->branches, view->x, view->objectives, violation,
                    &s->front, &s->extent);
}

/* Takes in one evaluated point; returns what it gained. */
static double take_in(bv_search *s, const bv_cell *cell,
                      const bv_record_view *view) {
  double broken = bv_violation_sum(s->problem, view->limits);
  if (cell->number < s->sample_cells)
    measure_sample(s, view->objectives);
  bv_population_offer(&s->population, view->x, view->objectives, broken);
  double gain = take_in_front(s, view);
  take_in_branch(s, cell, view, broken);
  return gain;
}

static double take_record(bv_search *s, const bv_cell *cell,
                          const double *record) {
  bv_record_view view = bv_record_look(s->problem, record);
  size_t n = s->problem->space.count;
  s->state.evaluations++;
  s->state.outcomes[view.outcome]++;
  if (bv_operators[cell->operator]->run != bv_run_list)
    bv_seen_add(&s->seen, view.x, n);
  if (view.outcome == BV_OUTCOME_EVALUATED)
    return take_in(s, cell, &view);
  bv_failures_add(&s->failures, view.outcome, view.cause, view.x);
  return 0;
}

static void measure(bv_search *s) {
  double worst[BV_OBJECTIVES_MOST];
  bool empty = s->front.count == 0;
  if (!empty)
    bv_archive_worst(&s->front, worst);
  s->yardstick = bv_yardstick_make(
      s->problem->objectives, empty ? s->sampled_lo : s->front.best,
      empty ? s->sampled_hi : worst, s->sampled_lo, s->sampled_hi);
  /* Beside a sample of huge losses the whole front may span next to nothing. */
  s->extent = s->yardstick;
  for (size_t j = 0; !empty && j < s->problem->objectives; j++)
    if (worst[j] > s->front.best[j])
      s->extent.range[j] = worst[j] - s->front.best[j];
}

void bv_search_merge(bv_search *s, const bv_cell *cell,
                     const bv_cell_result *result) {
  size_t size = bv_record_size(s->problem);
  if (s->state.cells == 0)
    measure(s);
  double gain = 0, before = s->front.advance, points = (double) s->front.count;
  for (size_t i = 0; i < result->count; i++)
    gain += take_record(s, cell, result->records + i * size);
  gain += (s->front.advance - before) / fmax(points, 1);
  /* The first sample has no yardstick yet: each point counts as a whole box,
   * so that what a front of a few points gains weighs little. */
  if (cell->number < s->sample_cells)
    gain = (double) result->count;
  bv_credit_learn(&s->credit, cell->operator, gain, result->count);
  if (bv_operators[cell->operator]->learn)
    bv_operators[cell->operator]->learn(s, cell, result, gain);
  bv_population_select(&s->population);
  s->promised -= cell->most;
  s->state.cells++;
  measure(s);
  bv_drift_watch(&s->drift, &s->front, s->state.evaluations);
  bv_budget_judge(s);
}

void bv_search_stop(bv_search *s, bv_stop why) {
  if (s->state.stop == BV_STOP_RUNNING)
    s->state.stop = why;
}

bool bv_search_done(const bv_search *s) {
  return s->planned == s->state.cells && !bv_search_wants(s);
}

void bv_search_run(bv_search *s) {
  bv_cell cells[BV_CELLS_AHEAD] = {0};
  bv_cell_result result = {
      .records = bv_allocate(BV_CELL_MOST * bv_record_size(s->problem),
                             sizeof(double)),
      .note = bv_allocate(BV_NOTE_MOST, sizeof(double))};
  while (!bv_search_done(s)) {
    while (bv_search_wants(s))
      bv_search_take(s, &cells[s->planned % BV_CELLS_AHEAD]);
    bv_cell *oldest = &cells[s->state.cells % BV_CELLS_AHEAD];
    result.count = 0;
    bv_cell_run(s->problem, oldest, &result);
    bv_search_merge(s, oldest, &result);
  }
  for (size_t i = 0; i < BV_CELLS_AHEAD; i++)
    bv_cell_free(&cells[i]);
  free(result.records);
  free(result.note);
}
