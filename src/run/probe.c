/* SPDX-License-Identifier: MIT */
#include "run/probe.h"

#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "run/build.h"
#include "run/report.h"
#include "run/told.h"

/* Points tried at first, then, and more where none of them tells. */
enum { PAIR = 2, FEW = 4, MORE = 60, ALL = FEW + MORE };

/* The key of the probe's random stream; cells have keys of their own. */
static const uint64_t stream = 0x70726f6265;

static bv_status choose(const bv_study *study, uint64_t seed, double *x,
                        bv_error *error) {
  bv_space space = bv_study_problem(study)->space;
  bv_random random = bv_random_keyed(seed, stream, 0);
  for (size_t i = space.count; i < ALL * space.count; i++)
    x[i] = bv_variable_decode(&space.variables[i % space.count],
                              bv_random_unit(&random));
  return bv_study_parse_point(study, NULL, 0, x, error);
}

/* Makes a front of them for once: what can't be written is told now. */
static bv_status try_front(const bv_study *study, const double *x,
                           const bv_told *told, size_t points,
                           bv_error *error) {
  size_t width = bv_study_problem(study)->space.count, count = 0;
  bv_candidate rows[ALL];
  bv_front front;
  for (size_t i = 0; i < points; i++)
    if (told[i].outcome == BV_OUTCOME_EVALUATED)
      rows[count++] = (bv_candidate){x + i * width, &told[i]};
  bv_status status = bv_front_build(study, rows, count, &front, error);
  if (status == BV_OK)
    bv_front_free(&front);
  return status;
}

/* What points tell of a study. */
typedef struct verdict {
  size_t evaluated;
  size_t impossible;    /* by the model or the script */
  size_t lacking;       /* didn't give all results */
  size_t raised;        /* an error */
  size_t lost;          /* by a limit of time or memory, or with the worker */
  const bv_told *slip;  /* lacks a result though it is possible; NULL: none */
  const bv_told *fault; /* the first that raised or was lost; NULL: none */
} verdict;

static verdict judge(const bv_told *told, size_t count) {
  verdict v = {0};
  for (size_t i = 0; i < count; i++) {
    bv_outcome outcome = told[i].outcome;
    bool impossible = outcome == BV_OUTCOME_NOT_A_NUMBER;
    bool raised = outcome == BV_OUTCOME_ERROR;
    bool evaluated = outcome == BV_OUTCOME_EVALUATED;
    v.evaluated += evaluated;
    v.impossible += impossible;
    v.lacking += told[i].lacks;
    v.raised += raised;
    v.lost += !evaluated && !impossible && !raised;
    if (raised && told[i].lacks && !v.slip)
      v.slip = &told[i];
    if (!evaluated && !impossible && !v.fault)
      v.fault = &told[i];
  }
  return v;
}

static bv_status refuse(const bv_study *study, const double *x,
                        const bv_told *told, const verdict *v, size_t count,
                        bv_error *error) {
  bv_buffer command = {0};
  if (v->slip)
    return bv_fail(error, BV_BAD_DATA, "%s", v->slip->message);
  const bv_told *first = v->fault ? v->fault : told;
  size_t width = bv_study_problem(study)->space.count;
  bv_report_command(study, x + (size_t) (first - told) * width, &command);
  bv_fail(error, BV_BAD_DATA,
          "%s: cannot evaluate any of %zu points: %s\n  the first: %s",
          bv_study_path(study), count, first->message,
          command.failed ? "" : command.text);
  bv_buffer_free(&command);
  return BV_BAD_DATA;
}

/* Tells the first points; *count is PAIR where both of those were lost: each
 * that is takes seconds. */
static bv_status tell_few(const bv_study *study, bv_pool *pool, const double *x,
                          bv_told **told, size_t *count, bv_error *error) {
  const bv_problem *problem = bv_study_problem(study);
  bv_told *rest = NULL, *grown = NULL;
  *count = PAIR;
  bv_status status = bv_tell_all(pool, problem, x, PAIR, told, error);
  if (status != BV_OK || judge(*told, PAIR).lost == PAIR)
    return status;
  status = bv_tell_all(pool, problem, x + PAIR * problem->space.count,
                       FEW - PAIR, &rest, error);
  if (status == BV_OK && (grown = realloc(*told, FEW * sizeof *grown))) {
    memcpy(grown + PAIR, rest, (FEW - PAIR) * sizeof *rest);
    *told = grown;
    *count = FEW;
    free(rest);
    return BV_OK;
  }
  if (rest)
    bv_told_free_all(rest, FEW - PAIR);
  bv_told_free_all(*told, PAIR);
  return status == BV_OK ? bv_fail(error, BV_INTERNAL, "out of memory")
                         : status;
}

/* Judges the first points; *open where more must tell. Where points are lost
 * that would take long: one goes, with two none works. */
static bv_status judge_few(const bv_study *study, const double *x,
                           const bv_told *told, size_t count, bool *open,
                           bv_error *error) {
  verdict v = judge(told, count);
  bool slipped = v.slip && v.lacking == count;
  bool lost = v.lost > 0 && v.lost + v.raised > 1;
  *open = v.evaluated == 0 && v.raised > 0 && !slipped && !lost;
  if (v.evaluated == 0 && (slipped || lost))
    return refuse(study, x, told, &v, count, error);
  return try_front(study, x, told, count, error);
}

/* Where every point is impossible, the search may still find one that isn't;
 * not so where those that aren't fail all the same. */
static bv_status judge_all(const bv_study *study, const double *x,
                           const bv_told *told, bv_error *error) {
  verdict v = judge(told, ALL);
  if (v.evaluated > 0 || (!v.slip && v.raised + v.lost < FEW))
    return try_front(study, x, told, ALL, error);
  return refuse(study, x, told, &v, ALL, error);
}

bv_status bv_probe(const bv_study *study, bv_pool *pool, uint64_t seed,
                   bv_error *error) {
  const bv_problem *problem = bv_study_problem(study);
  double x[ALL * BV_SPACE_MOST];
  bv_told *told;
  bool open = false;
  if (choose(study, seed, x, error) != BV_OK)
    return BV_BAD_DATA;
  size_t count;
  if (tell_few(study, pool, x, &told, &count, error) != BV_OK)
    return BV_INTERNAL;
  bv_status status = judge_few(study, x, told, count, &open, error);
  bv_told_free_all(told, count);
  if (!open)
    return status;
  if (bv_tell_all(pool, problem, x, ALL, &told, error) != BV_OK)
    return BV_INTERNAL;
  status = judge_all(study, x, told, error);
  bv_told_free_all(told, ALL);
  return status;
}
