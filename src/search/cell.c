/* SPDX-License-Identifier: MIT */
#include "search/cell.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "search/log.h"
#include "search/operator.h"

/* Where a record's parts begin. */
enum { OUTCOME, X };

void bv_cell_free(bv_cell *cell) {
  free(cell->data);
  *cell = (bv_cell){0};
}

size_t bv_record_size(const bv_problem *problem) {
  return X + problem->space.count + problem->objectives + problem->limits;
}

bv_record_view bv_record_look(const bv_problem *problem, const double *record) {
  const double *x = record + X, *objectives = x + problem->space.count;
  bv_outcome outcome = (bv_outcome) record[OUTCOME];
  return (bv_record_view){.outcome = outcome,
                          .cause =
                              outcome == BV_OUTCOME_EVALUATED ? 0 : *objectives,
                          .x = x,
                          .objectives = objectives,
                          .limits = objectives + problem->objectives};
}

static double *record_at(const bv_problem *problem,
                         const bv_cell_result *result, size_t i) {
  return result->records + i * bv_record_size(problem);
}

/* Writes outcome and, where it is a failure, its cause and NAN. */
static void finish(const bv_problem *problem, bv_cell_result *result,
                   bv_outcome outcome, double cause) {
  double *record = record_at(problem, result, result->count);
  size_t first = X + problem->space.count;
  record[OUTCOME] = outcome;
  if (outcome != BV_OUTCOME_EVALUATED) {
    record[first] = cause;
    for (size_t i = first + 1; i < bv_record_size(problem); i++)
      record[i] = nan("");
  }
  /* A watcher may read count at any time: the record first. */
  __atomic_store_n(&result->count, result->count + 1, __ATOMIC_RELEASE);
}

void bv_record_fail(const bv_problem *problem, bv_cell_result *result,
                    bv_outcome outcome) {
  finish(problem, result, outcome, 0);
}

static bool all_finite(const double *values, size_t count) {
  for (size_t i = 0; i < count; i++)
    if (!isfinite(values[i]))
      return false;
  return true;
}

const double *bv_log_evaluate(bv_log *log, const double *x) {
  const bv_problem *problem = log->problem;
  if (log->next >= log->most)
    return NULL;
  double *record = record_at(problem, log->result, log->next);
  if (log->next++ < log->result->count)
    return record;
  memcpy(record + X, x, problem->space.count * sizeof *x);
  double *objectives = record + X + problem->space.count;
  bv_evaluation evaluation = {.x = record + X,
                              .objectives = objectives,
                              .limits = objectives + problem->objectives};
  bv_outcome outcome = problem->evaluate(problem->context, &evaluation);
  if (outcome == BV_OUTCOME_EVALUATED &&
      !all_finite(objectives, problem->objectives + problem->limits))
    outcome = BV_OUTCOME_NOT_A_NUMBER;
  finish(problem, log->result, outcome, evaluation.cause);
  return record;
}

double bv_violation(const bv_problem *problem, const double *limits) {
  double most = BV_LIMIT_TOLERANCE;
  for (size_t i = 0; i < problem->limits; i++)
    most = bv_larger(most, limits[i]);
  return most > BV_LIMIT_TOLERANCE ? most : 0;
}

double bv_violation_sum(const bv_problem *problem, const double *limits) {
  double sum = 0;
  for (size_t i = 0; i < problem->limits; i++)
    if (limits[i] > BV_LIMIT_TOLERANCE)
      sum += limits[i];
  return sum;
}

void bv_cell_run(const bv_problem *problem, const bv_cell *cell,
                 bv_cell_result *result) {
  bv_log log = {.problem = problem, .result = result, .most = cell->most};
  result->note_length = 0;
  bv_operators[cell->operator]->run(&log, cell);
}
