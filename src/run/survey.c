/* SPDX-License-Identifier: MIT */
#include "run/survey.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "run/build.h"
#include "run/drive.h"
#include "run/ends.h"
#include "run/idle.h"
#include "run/probe.h"
#include "run/report.h"
#include "run/told.h"
#include "run/unlimited.h"
#include "search/failures.h"

/* The key of the survey's random stream; cells have keys of their own. */
static const uint64_t stream = 0x737572766579;

bv_survey_options bv_survey_defaults(void) {
  bv_drive_options drive = bv_drive_defaults();
  return (bv_survey_options){500, 1, drive.jobs, drive.point_seconds};
}

/* A Latin hypercube, each variable from a stream of its own. */
static void sample(bv_space space, const bv_survey_options *options,
                   size_t *order, double *x) {
  for (size_t k = 0; k < space.count; k++) {
    bv_random random = bv_random_keyed(options->seed, stream, k);
    bv_variable_spread(&space.variables[k], &random, options->points, order,
                       x + k, space.count);
  }
}

/* Points told, with what they are compared against. */
typedef struct survey {
  const bv_study *study;
  const bv_problem *problem;
  const double *x;
  const bv_told *told;
  size_t count, evaluated, feasible;
} survey;

static bool meets(const survey *s, size_t point, size_t limit) {
  return s->told[point].limits[limit] <= BV_LIMIT_TOLERANCE;
}

/* Limits that a point breaks; *last is one of them. */
static size_t broken(const survey *s, size_t point, size_t *last) {
  size_t count = 0;
  for (size_t i = 0; i < s->problem->limits; i++)
    if (!meets(s, point, i)) {
      *last = i;
      count++;
    }
  return count;
}

static bool was_evaluated(const survey *s, size_t point) {
  return s->told[point].outcome == BV_OUTCOME_EVALUATED;
}

static void count_points(survey *s) {
  size_t last;
  for (size_t i = 0; i < s->count; i++)
    if (was_evaluated(s, i)) {
      s->evaluated++;
      s->feasible += broken(s, i, &last) == 0;
    }
}

static double share(size_t part, size_t whole) {
  return whole ? 100 * (double) part / (double) whole : 0;
}

/* Three digits, without a power of ten where the number is large. */
static void append_three(double value, bv_buffer *text) {
  double step = pow(10, floor(log10(value)) - 2);
  if (value >= 100)
    bv_buffer_print(text, "%.0f", round(value / step) * step);
  else
    bv_buffer_print(text, "%.3g", value);
}

static void append_cost(const survey *s, size_t jobs, bv_buffer *text) {
  double seconds = 0;
  size_t timed = 0;
  for (size_t i = 0; i < s->count; i++)
    if (!isnan(s->told[i].seconds)) {
      seconds += s->told[i].seconds;
      timed++;
    }
  if (timed == 0 || !(seconds > 0))
    return;
  double each = seconds / (double) timed;
  bool is_ms = each >= 1e-3, is_s = each >= 1;
  bv_buffer_print(text, "cost         ");
  append_three(each * (is_s ? 1 : is_ms ? 1e3 : 1e6), text);
  bv_buffer_print(text, " %s an evaluation, ",
                  is_s    ? "s"
                  : is_ms ? "ms"
                          : "us");
  append_three((double) jobs / each, text);
  bv_buffer_print(text, "/s with %zu worker%s\n", jobs, jobs == 1 ? "" : "s");
}

static bv_status append_failures(const survey *s, bv_pool *pool,
                                 bv_buffer *text, bv_error *error) {
  bv_failures failures;
  bv_failures_init(&failures, s->problem->space.count);
  for (size_t i = 0; i < s->count; i++)
    if (!was_evaluated(s, i))
      bv_failures_add(&failures, s->told[i].outcome, s->told[i].cause,
                      s->x + i * s->problem->space.count);
  bv_status status = bv_report_failures(s->study, pool, &failures, text, error);
  bv_failures_free(&failures);
  return status;
}

static const char *unit_of(const survey *s, const char *name) {
  for (size_t i = 0; i < s->count; i++) {
    const bv_result *result = bv_told_find(&s->told[i], name);
    if (result)
      return result->unit ? result->unit : "";
  }
  return "";
}

/* How often a limit is met, and how many points it alone forbids: dropping it
 * would allow them. */
static void append_limit(const survey *s, size_t limit, const bv_limit_end *end,
                         bv_buffer *text) {
  size_t met = 0, alone = 0, last = 0;
  for (size_t i = 0; i < s->count; i++)
    if (was_evaluated(s, i)) {
      met += meets(s, i, limit);
      alone += broken(s, i, &last) == 1 && last == limit;
    }
  bv_buffer_print(text, "  %5.1f %%  %5.1f %%  %s ", share(met, s->evaluated),
                  share(alone, s->evaluated), end->name);
  bv_ends_print(end, unit_of(s, end->name), text);
  bv_buffer_print(text, "\n");
}

static void append_limits(const survey *s, bv_buffer *text) {
  bv_limit_end ends[BV_LIMITS_MOST];
  size_t count = bv_ends_list(s->study, ends);
  if (count == 0)
    return;
  if (s->evaluated == 0) {
    bv_buffer_print(text, "No point tells of the limits.\n");
    return;
  }
  bv_buffer_print(text, "      met    alone  limit (alone: forbids what all "
                        "others allow)\n");
  for (size_t i = 0; i < count; i++)
    append_limit(s, i, &ends[i], text);
}

/* What feasible points break though nothing forbids it, and what they lack. */
static bv_status append_unlimited(const survey *s, bv_buffer *text,
                                  bv_error *error) {
  size_t rows = 0, last;
  bv_front front;
  bv_candidate *feasible = calloc(s->feasible + 1, sizeof *feasible);
  if (!feasible)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  for (size_t i = 0; i < s->count; i++)
    if (was_evaluated(s, i) && broken(s, i, &last) == 0)
      feasible[rows++] =
          (bv_candidate){s->x + i * s->problem->space.count, &s->told[i]};
  bv_status status = bv_front_build(s->study, feasible, rows, &front, error);
  free(feasible);
  if (status != BV_OK)
    return status;
  bv_unlimited_report(s->study, &front, text);
  bv_report_absent(s->study, &front, text);
  bv_front_free(&front);
  return BV_OK;
}

static void append_names(const survey *s, bv_buffer *text) {
  size_t count;
  const bv_objective *objectives = bv_study_objectives(s->study, &count);
  bv_buffer_print(text, "study        %s\nvariables    ",
                  *bv_study_title(s->study) ? bv_study_title(s->study)
                                            : bv_study_path(s->study));
  for (size_t i = 0; i < s->problem->space.count; i++)
    bv_buffer_print(text, "%s%s", i ? ", " : "",
                    s->problem->space.variables[i].name);
  bv_buffer_print(text, "\nobjectives   ");
  for (size_t i = 0; i < count; i++)
    bv_buffer_print(text, "%s%s (%s)", i ? ", " : "", objectives[i].name,
                    objectives[i].maximise ? "maximise" : "minimise");
  bv_buffer_print(text, "\n");
}

static bv_status append_all(survey *s, const bv_survey_options *options,
                            bv_pool *pool, bv_buffer *text, bv_error *error) {
  count_points(s);
  append_names(s, text);
  append_cost(s, options->jobs, text);
  bv_buffer_print(
      text, "evaluated    %zu of %zu points, %zu feasible (%.1f %%)\n",
      s->evaluated, s->count, s->feasible, share(s->feasible, s->evaluated));
  append_limits(s, text);
  bv_status status = append_unlimited(s, text, error);
  if (status == BV_OK)
    status = bv_idle_report(s->study, pool, options->seed, s->x, s->told,
                            s->count, text, error);
  return status == BV_OK ? append_failures(s, pool, text, error) : status;
}

static bv_status tell_all(bv_study *study, const bv_survey_options *options,
                          bv_pool *pool, double *x, bv_buffer *text,
                          bv_error *error) {
  bv_told *told;
  survey s = {.study = study,
              .problem = bv_study_problem(study),
              .x = x,
              .count = options->points};
  bv_status status = bv_probe(study, pool, options->seed, error);
  if (status == BV_OK)
    status = bv_tell_all(pool, s.problem, x, s.count, &told, error);
  if (status != BV_OK)
    return status;
  s.told = told;
  status = append_all(&s, options, pool, text, error);
  bv_told_free_all(told, s.count);
  return status;
}

bv_status bv_survey(bv_study *study, const bv_survey_options *options,
                    bv_buffer *text, bv_error *error) {
  bv_space space = bv_study_problem(study)->space;
  double *x = calloc(options->points * space.count, sizeof *x);
  size_t *order = calloc(options->points, sizeof *order);
  bv_pool_options pool_options = bv_pool_defaults();
  pool_options.jobs = options->jobs;
  pool_options.point_seconds = options->point_seconds;
  pool_options.describe = bv_tell;
  pool_options.describe_context = study;
  bv_pool *pool = NULL;
  bv_status status;
  if (x && order)
    status = bv_pool_new(bv_study_problem(study), &pool_options, &pool, error);
  else
    status = bv_fail(error, BV_INTERNAL, "out of memory");
  if (x && order && status == BV_OK) {
    sample(space, options, order, x);
    status = tell_all(study, options, pool, x, text, error);
  }
  bv_pool_free(pool);
  free(order);
  free(x);
  return status;
}
