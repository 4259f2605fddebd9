/* SPDX-License-Identifier: MIT */
#include "run/finish.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "run/best.h"
#include "run/near.h"
#include "run/report.h"
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

static size_t choose(const bv_problem *problem, const double *x,
                     const bv_told *told, size_t count, bv_candidate *rows) {
  bv_problem sorted_by = *problem;
  size_t held = 0;
  for (size_t i = 0; i < count; i++)
    if (holds(problem, &told[i]))
      rows[held++] = (bv_candidate){x + i * problem->space.count, &told[i]};
  held = bv_best(problem->objectives, rows, held);
  qsort_r(rows, held, sizeof *rows, compare_candidates, &sorted_by);
  return held;
}

/* A finish under way, and what it owns. */
typedef struct finishing {
  bv_study *study;
  const bv_problem *problem;
  size_t found; /* points of the search's front */
  double *x;
  bv_told *told;
  size_t kept, near; /* rows: of the front, then near it */
  bv_candidate *rows;
  bv_near_point *points;
  size_t verified;
  bv_told *again; /* rows told once more, verified of them */
} finishing;

static void release(finishing *f) {
  bv_told_free_all(f->again, f->verified);
  bv_told_free_all(f->told, f->found);
  free(f->points);
  free(f->rows);
  free(f->x);
}

static bv_status no_memory(bv_error *error) {
  return bv_fail(error, BV_INTERNAL, "out of memory for the front");
}

/* Chooses the rows; those near the front are measured by all of it. */
static bv_status choose_rows(finishing *f, const bv_search *search,
                             bv_finish_most most, bv_error *error) {
  f->rows = calloc(f->found + most.near + 1, sizeof *f->rows);
  if (!f->rows)
    return no_memory(error);
  f->kept = choose(f->problem, f->x, f->told, f->found, f->rows);
  bv_status status = bv_near_choose(f->problem, search, f->rows, f->kept,
                                    most.near, &f->points, &f->near, error);
  f->kept = bv_thin(f->problem->objectives, f->rows, f->kept, most.rows);
  for (size_t i = 0; i < f->near; i++)
    f->rows[f->kept + i] = (bv_candidate){.x = f->points[i].x};
  return status;
}

/* Tells the rows once more, now with the simulation of each design: the pool at
 * hand was forked from a study that left it out. */
static bv_status verify(finishing *f, const bv_pool_options *options,
                        bv_error *error) {
  size_t width = f->problem->space.count, count = f->kept + f->near;
  f->verified = count;
  double *x = calloc(count * width + 1, sizeof *x);
  if (!x)
    return no_memory(error);
  for (size_t i = 0; i < count; i++)
    memcpy(x + i * width, f->rows[i].x, width * sizeof *x);
  bv_pool *pool;
  bv_study_verify_designs(f->study);
  bv_status status = bv_pool_new(f->problem, options, &pool, error);
  if (status == BV_OK)
    status = bv_tell_all(pool, f->problem, x, count, &f->again, error);
  bv_pool_free(pool);
  free(x);
  return status;
}

/* Takes the rows as they were told again; a front's row that no longer holds
 * stays as it was, one near it goes. */
static void take_verified(finishing *f) {
  size_t near = 0;
  for (size_t i = 0; i < f->kept; i++)
    if (holds(f->problem, &f->again[i]))
      f->rows[i].told = &f->again[i];
  for (size_t i = 0; i < f->near; i++) {
    const bv_told *told = &f->again[f->kept + i];
    f->points[near] = f->points[i];
    f->rows[f->kept + near] = (bv_candidate){f->rows[f->kept + i].x, told};
    near += told->outcome == BV_OUTCOME_EVALUATED;
  }
  f->near = near;
}

/* What the search knows of a point that is left untold: its objectives are
 * results, all others are missing. */
static bv_status take_over(const finishing *f, const bv_point *point,
                           bv_told *told, bv_error *error) {
  size_t count;
  const bv_objective *objectives = bv_study_objectives(f->study, &count);
  told->record.results = calloc(count + 1, sizeof *told->record.results);
  if (!told->record.results)
    return no_memory(error);
  told->outcome = BV_OUTCOME_EVALUATED;
  memcpy(told->objectives, point->objectives, count * sizeof(double));
  memcpy(told->limits, point->limits, f->problem->limits * sizeof(double));
  for (size_t i = 0; i < count; i++)
    told->record.results[told->record.count++] = (bv_result){
        .name = objectives[i].name,
        .unit = objectives[i].unit,
        .meaning = objectives[i].meaning,
        .number =
            objectives[i].maximise ? -told->objectives[i] : told->objectives[i],
    };
  return BV_OK;
}

static bv_status take_over_untold(const finishing *f, const bv_search *search,
                                  bv_error *error) {
  bv_status status = BV_OK;
  for (size_t i = 0; i < f->found && status == BV_OK; i++) {
    bv_point point = bv_search_front(search, i);
    if (f->told[i].untold)
      status = take_over(f, &point, &f->told[i], error);
  }
  return status;
}

static bv_status tell_front(finishing *f, bv_pool *pool,
                            const bv_search *search, bv_error *error) {
  f->found = bv_search_look(search).front;
  f->x = copy_points(search, f->problem->space.count, f->found);
  if (!f->x) {
    no_memory(error);
    return BV_INTERNAL;
  }
  bv_status status =
      bv_tell_all(pool, f->problem, f->x, f->found, &f->told, error);
  return status == BV_OK ? take_over_untold(f, search, error) : status;
}

static size_t count_untold(const bv_told *told, size_t count) {
  size_t untold = 0;
  for (size_t i = 0; i < count; i++)
    untold += told[i].untold;
  return untold;
}

/* What a run that was asked to end left undone. */
static void report_untold(const finishing *f, bv_buffer *report) {
  size_t untold = 0, unsure = count_untold(f->again, f->kept);
  for (size_t i = 0; i < f->kept; i++)
    untold += f->rows[i].told->untold;
  if (untold > 0)
    bv_buffer_print(report,
                    "%zu of %zu designs have their objectives alone: the run "
                    "ended before they were evaluated once more\n",
                    untold, f->kept);
  if (unsure > untold)
    bv_buffer_print(report,
                    "%zu of %zu designs are unverified: the run ended before\n",
                    unsure - untold, f->kept);
}

static bool has_changed(const finishing *f, const bv_search *search, size_t i) {
  const double *found = bv_search_front(search, i).objectives;
  bool changed = false;
  for (size_t j = 0; j < f->problem->objectives; j++)
    changed = changed || f->told[i].objectives[j] != found[j];
  return changed && f->told[i].outcome == BV_OUTCOME_EVALUATED;
}

/* What was evaluated twice must be the same, or the front means nothing. */
static void report_changed(const finishing *f, const bv_search *search,
                           bv_buffer *report) {
  size_t changed = 0, first = 0;
  for (size_t i = f->found; i-- > 0;)
    if (has_changed(f, search, i)) {
      changed++;
      first = i;
    }
  if (changed == 0)
    return;
  bv_buffer_print(report,
                  "%zu of %zu designs gave other objectives when evaluated "
                  "again: what evaluate returns must depend on x (and the "
                  "case) alone\n",
                  changed, f->found);
  bv_report_command(f->study, f->x + first * f->problem->space.count, report);
  bv_buffer_print(report, "\n");
}

/* Nothing is dropped in silence: what the search found and what is told of it
 * once more differ only by a fault of the script. */
static void report_lost(const finishing *f, bv_buffer *report) {
  size_t lost = 0, first = 0;
  for (size_t i = f->found; i-- > 0;)
    if (!holds(f->problem, &f->told[i])) {
      lost++;
      first = i;
    }
  if (lost == 0)
    return;
  const char *message = f->told[first].message;
  bv_buffer_print(report, "%zu of %zu designs of the front are left out: %s\n",
                  lost, f->found,
                  *message ? message : "evaluated again, they miss a limit");
  bv_report_command(f->study, f->x + first * f->problem->space.count, report);
  bv_buffer_print(report, "\n");
}

bv_status bv_finish(bv_study *study, bv_pool *pool,
                    const bv_pool_options *options, const bv_search *search,
                    bv_finish_most most, bv_front *front, bv_front *near,
                    bv_buffer *report, bv_error *error) {
  finishing f = {.study = study, .problem = bv_study_problem(study)};
  *front = *near = (bv_front){0};
  bv_status status = tell_front(&f, pool, search, error);
  if (status == BV_OK && f.told) {
    report_changed(&f, search, report);
    report_lost(&f, report);
    status = choose_rows(&f, search, most, error);
  }
  if (status == BV_OK)
    status = verify(&f, options, error);
  if (status == BV_OK) {
    take_verified(&f);
    report_untold(&f, report);
    status = bv_front_build(study, f.rows, f.kept, front, error);
  }
  if (status == BV_OK)
    status =
        bv_near_build(study, f.points, f.rows + f.kept, f.near, near, error);
  if (status != BV_OK)
    bv_front_free(front);
  release(&f);
  return status;
}
