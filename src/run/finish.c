/* SPDX-License-Identifier: MIT */
#include "run/finish.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "run/build.h"
#include "run/thin.h"
#include "run/told.h"

/* Copies the points of the front, which stay valid only until a merge. */
static double *copy_points(const bv_search *search, size_t width,
                           size_t count) {
  double *x = calloc(count * width + 1, sizeof *x);
  for (size_t i = 0; x && i < count; i++)
    memcpy(x + i * width, bv_search_front(search, i).x, width * sizeof *x);
  return x;
}

/* True where a is nowhere worse than b, which came later if they are equal. */
static bool dominates(const double *a, const double *b, size_t objectives) {
  for (size_t i = 0; i < objectives; i++)
    if (a[i] > b[i])
      return false;
  return true;
}

/* Orders by the objectives, first to last. */
static int compare(const double *a, const double *b, size_t objectives) {
  for (size_t i = 0; i < objectives; i++)
    if (a[i] != b[i])
      return a[i] < b[i] ? -1 : 1;
  return 0;
}

static int compare_candidates(const void *a, const void *b, void *problem) {
  const bv_candidate *first = a, *second = b;
  const bv_problem *p = problem;
  return compare(first->told->objectives, second->told->objectives,
                 p->objectives);
}

static bool holds(const bv_problem *problem, const bv_told *told) {
  return told->outcome == BV_OUTCOME_EVALUATED &&
         bv_told_violation(problem, told) == 0;
}

/* Keeps what no other dominates. In rising order only an earlier row can. */
static size_t keep_best(const bv_problem *problem, bv_candidate *rows,
                        size_t count) {
  size_t kept = 0;
  for (size_t i = 0; i < count; i++) {
    bool best = true;
    for (size_t j = 0; j < kept && best; j++)
      best = !dominates(rows[j].told->objectives, rows[i].told->objectives,
                        problem->objectives);
    if (best)
      rows[kept++] = rows[i];
  }
  return kept;
}

static size_t choose(const bv_problem *problem, const double *x,
                     const bv_told *told, size_t count, bv_candidate *rows) {
  bv_problem sorted_by = *problem;
  size_t held = 0;
  for (size_t i = 0; i < count; i++)
    if (holds(problem, &told[i]))
      rows[held++] = (bv_candidate){x + i * problem->space.count, &told[i]};
  qsort_r(rows, held, sizeof *rows, compare_candidates, &sorted_by);
  return keep_best(problem, rows, held);
}

/* Tells the rows once more, now with the simulation of each design: the pool at
 * hand was forked from a study that left it out. */
static bv_status verify(bv_study *study, const bv_pool_options *options,
                        bv_candidate *rows, size_t count, bv_told **told,
                        bv_error *error) {
  const bv_problem *problem = bv_study_problem(study);
  size_t width = problem->space.count;
  double *x = calloc(count * width + 1, sizeof *x);
  if (!x)
    return bv_fail(error, BV_INTERNAL, "out of memory for the front");
  for (size_t i = 0; i < count; i++)
    memcpy(x + i * width, rows[i].x, width * sizeof *x);
  bv_pool *pool;
  bv_study_verify_designs(study);
  bv_status status = bv_pool_new(problem, options, &pool, error);
  if (status == BV_OK)
    status = bv_tell_all(pool, problem, x, count, told, error);
  for (size_t i = 0; status == BV_OK && i < count; i++)
    if (holds(problem, &(*told)[i]))
      rows[i].told = &(*told)[i];
  bv_pool_free(pool);
  free(x);
  return status;
}

bv_status bv_finish(bv_study *study, bv_pool *pool,
                    const bv_pool_options *options, const bv_search *search,
                    size_t most, bv_front *front, bv_error *error) {
  const bv_problem *problem = bv_study_problem(study);
  size_t count = bv_search_look(search).front, kept = 0;
  *front = (bv_front){0};
  bv_told *told = NULL, *verified = NULL;
  double *x = copy_points(search, problem->space.count, count);
  bv_candidate *rows = calloc(count + 1, sizeof *rows);
  bv_status status = BV_OK;
  if (!x || !rows)
    status = bv_fail(error, BV_INTERNAL, "out of memory for the front");
  if (status == BV_OK)
    status = bv_tell_all(pool, problem, x, count, &told, error);
  if (status == BV_OK && rows) {
    kept = choose(problem, x, told, count, rows);
    kept = bv_thin(problem->objectives, rows, kept, most);
    status = verify(study, options, rows, kept, &verified, error);
  }
  if (status == BV_OK)
    status = bv_front_build(study, rows, kept, front, error);
  bv_told_free_all(verified, kept);
  bv_told_free_all(told, count);
  free(rows);
  free(x);
  return status;
}
