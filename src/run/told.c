/* SPDX-License-Identifier: MIT */
#include "run/told.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "run/clock.h"
#include "run/interrupt.h"

static void put_text(bv_buffer *reply, const char *text) {
  bv_buffer_append(reply, text ? text : "", (text ? strlen(text) : 0) + 1);
}

static void put_record(bv_buffer *reply, const bv_record *record) {
  bv_buffer_append(reply, (const char *) &record->count, sizeof record->count);
  for (size_t i = 0; i < record->count; i++) {
    const bv_result *result = &record->results[i];
    bv_buffer_append(reply, (const char *) &result->number,
                     sizeof result->number);
    bv_buffer_append(reply, result->is_text ? "t" : "n", 1);
    put_text(reply, result->name);
    put_text(reply, result->unit);
    put_text(reply, result->meaning);
    put_text(reply, result->text);
  }
}

/* The reply: seconds, cause, lacks, objectives, limits, message, results. */
static void put_told(const bv_problem *problem, const bv_told *told,
                     const char *message, bv_buffer *reply) {
  size_t count = problem->objectives + problem->limits;
  bv_buffer_append(reply, (const char *) &told->seconds, sizeof told->seconds);
  bv_buffer_append(reply, (const char *) &told->cause, sizeof told->cause);
  bv_buffer_append(reply, told->lacks ? "y" : "n", 1);
  bv_buffer_append(reply, (const char *) told->objectives,
                   count * sizeof *told->objectives);
  put_text(reply, message);
  put_record(reply, &told->record);
}

/* Turns what was told into a failure. */
static bv_outcome fail(const bv_problem *problem, bv_outcome outcome,
                       bv_told *told) {
  bv_record_free(&told->record);
  for (size_t i = 0; i < problem->objectives + problem->limits; i++)
    told->objectives[i] = (double) NAN;
  return outcome;
}

/* A point that is evaluated and yet can't be told has failed too: a front's row
 * would lack its objectives. */
bv_outcome bv_tell(void *study, const double *x, bv_buffer *reply) {
  static const char too_long[] = "the results of a point are over 256 KiB";
  const bv_problem *problem = bv_study_problem(study);
  double values[BV_OBJECTIVES_MOST + BV_LIMITS_MOST], start = bv_clock();
  bv_told told = {.objectives = values, .limits = values + problem->objectives};
  bv_evaluation evaluation = {
      .x = x, .objectives = told.objectives, .limits = told.limits};
  bv_outcome outcome =
      bv_study_describe(study, &evaluation, &told.record, NULL);
  told.seconds = bv_clock() - start;
  if (outcome != BV_OUTCOME_EVALUATED)
    fail(problem, outcome, &told);
  told.cause = evaluation.cause;
  told.lacks = *bv_study_lacking(study) != '\0';
  put_told(problem, &told, bv_study_last_error(study), reply);
  if (reply->length > BV_REPLY_MOST) {
    reply->length = 0;
    outcome = fail(problem, BV_OUTCOME_ERROR, &told);
    put_told(problem, &told, too_long, reply);
  }
  bv_record_free(&told.record);
  return outcome;
}

/* Bytes not yet read; `short_of` where more were wanted than there are. */
typedef struct bytes {
  char *next;
  size_t left;
  bool short_of;
} bytes;

static const char *get(bytes *from, size_t length) {
  static const char nothing[sizeof(double)] = {0};
  if (from->left < length) {
    from->short_of = true;
    return nothing;
  }
  const char *here = from->next;
  from->next += length;
  from->left -= length;
  return here;
}

static const char *get_text(bytes *from) {
  const char *end = from->left ? memchr(from->next, '\0', from->left) : NULL;
  if (!end) {
    from->short_of = true;
    return "";
  }
  return get(from, (size_t) (end - from->next) + 1);
}

static void get_record(bytes *from, bv_record *record) {
  size_t count;
  memcpy(&count, get(from, sizeof count), sizeof count);
  if (from->short_of || count > from->left)
    count = 0;
  record->results = calloc(count + 1, sizeof *record->results);
  if (!record->results)
    return;
  for (record->count = 0; record->count < count; record->count++) {
    bv_result *result = &record->results[record->count];
    memcpy(&result->number, get(from, sizeof(double)), sizeof(double));
    result->is_text = *get(from, 1) == 't';
    result->name = get_text(from);
    result->unit = get_text(from);
    result->meaning = get_text(from);
    result->text = get_text(from);
  }
}

static char *stock_message(bv_outcome outcome) {
  static const char *const texts[BV_OUTCOME_COUNT] = {
      [BV_OUTCOME_TIMEOUT] = ("the evaluation took longer than --point-time "
                              "allows, without a step of the script"),
      [BV_OUTCOME_MEMORY] = "the evaluation asked for too much memory",
      [BV_OUTCOME_CRASH] = "the worker process died",
      [BV_OUTCOME_ERROR] = "the evaluation failed",
      [BV_OUTCOME_NOT_A_NUMBER] = "an objective or limit was not finite"};
  return strdup(outcome < BV_OUTCOME_COUNT && texts[outcome] ? texts[outcome]
                                                             : "");
}

/* Room for what a point gives and for so many bytes behind it; all is NAN. */
static bv_status make_room(const bv_problem *problem, size_t length,
                           bv_told *told, bv_error *error) {
  size_t count = problem->objectives + problem->limits;
  told->objectives = calloc(1, count * sizeof(double) + length + 1);
  if (!told->objectives)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  told->limits = told->objectives + problem->objectives;
  for (size_t i = 0; i < count; i++)
    told->objectives[i] = (double) NAN;
  return BV_OK;
}

static bv_status leave_untold(const bv_problem *problem, bv_told *told,
                              bv_error *error) {
  *told = (bv_told){
      .outcome = BV_OUTCOME_TIMEOUT, .seconds = (double) NAN, .untold = true};
  told->message = strdup("the run ended before it was evaluated once more");
  return make_room(problem, 0, told, error);
}

bv_status bv_told_read(const bv_problem *problem, const bv_answer *answer,
                       bv_told *told, bv_error *error) {
  size_t numbers = (problem->objectives + problem->limits) * sizeof(double);
  *told = (bv_told){.outcome = answer->outcome, .seconds = (double) NAN};
  if (make_room(problem, answer->length, told, error) != BV_OK)
    return BV_INTERNAL;
  if (answer->length == 0) { /* the worker died or was killed */
    told->message = stock_message(told->outcome);
    return BV_OK;
  }
  /* Texts of the record point into the copy of the reply behind the numbers. */
  char *copy = (char *) told->objectives + numbers;
  memcpy(copy, answer->reply, answer->length);
  bytes from = {.next = copy, .left = answer->length};
  memcpy(&told->seconds, get(&from, sizeof(double)), sizeof(double));
  memcpy(&told->cause, get(&from, sizeof(double)), sizeof(double));
  told->lacks = *get(&from, 1) == 'y';
  const char *values = get(&from, numbers);
  if (!from.short_of)
    memcpy(told->objectives, values, numbers);
  const char *message = get_text(&from);
  told->message = *message || told->outcome == BV_OUTCOME_EVALUATED
                      ? strdup(message)
                      : stock_message(told->outcome);
  get_record(&from, &told->record);
  if (!from.short_of && told->message && told->record.results)
    return BV_OK;
  bv_told_free(told);
  return bv_fail(error, BV_INTERNAL, "a worker's reply was cut short");
}

void bv_told_free(bv_told *told) {
  free(told->record.results);
  free(told->message);
  free(told->objectives);
  *told = (bv_told){0};
}

void bv_told_free_all(bv_told *told, size_t count) {
  for (size_t i = 0; told && i < count; i++)
    bv_told_free(&told[i]);
  free(told);
}

/* Waits for the oldest answer, which comes in finite time, by itself or by the
 * watchdog, unless the run is late. */
static bv_status take_answer(bv_pool *pool, const bv_problem *problem,
                             bv_told *told, bv_error *error) {
  bv_answer answer;
  bool done = false, late;
  do {
    late = bv_interrupt_is_late();
    if (bv_pool_next(pool, late ? 0 : 1000, &answer, &done, error) != BV_OK)
      return BV_INTERNAL;
  } while (!done && !late);
  if (!done)
    return leave_untold(problem, told, error);
  bv_status status = bv_told_read(problem, &answer, told, error);
  bv_pool_drop(pool);
  return status;
}

bv_status bv_tell_all(bv_pool *pool, const bv_problem *problem, const double *x,
                      size_t count, bv_told **told, bv_error *error) {
  *told = calloc(count + 1, sizeof **told);
  if (!*told)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  size_t posted = 0;
  bool ended = false;
  bv_status status = BV_OK;
  for (size_t i = 0; i < count && status == BV_OK; i++) {
    for (; posted < count && !bv_pool_full(pool) && !bv_interrupt_is_late();
         posted++)
      bv_pool_post_point(pool, x + posted * problem->space.count);
    /* Behind an untold point the oldest answer is that point's. */
    status = ended ? leave_untold(problem, &(*told)[i], error)
                   : take_answer(pool, problem, &(*told)[i], error);
    ended = (*told)[i].untold;
  }
  if (status == BV_OK && bv_pool_pending(pool) > 0)
    status = bv_pool_clear(pool, error);
  if (status == BV_OK)
    return BV_OK;
  bv_told_free_all(*told, count);
  *told = NULL;
  return status;
}

bv_status bv_tell_in_new_pool(bv_study *study, const double *x, size_t count,
                              double point_seconds, bv_told **told,
                              bv_error *error) {
  const bv_problem *problem = bv_study_problem(study);
  bv_pool_options options = bv_pool_defaults();
  options.point_seconds = point_seconds;
  options.describe = bv_tell;
  options.describe_context = study;
  bv_pool *pool;
  *told = NULL;
  bv_status status = bv_pool_new(problem, &options, &pool, error);
  if (status == BV_OK)
    status = bv_tell_all(pool, problem, x, count, told, error);
  bv_pool_free(pool);
  return status;
}

const bv_result *bv_told_find(const bv_told *told, const char *name) {
  for (size_t i = 0; i < told->record.count; i++)
    if (strcmp(told->record.results[i].name, name) == 0)
      return &told->record.results[i];
  return NULL;
}

const char *bv_told_label(const bv_study *study, size_t variable,
                          double value) {
  if (!bv_study_choice(study, variable, 0))
    return NULL;
  return bv_study_choice(study, variable, (size_t) value);
}

double bv_told_violation(const bv_problem *problem, const bv_told *told) {
  double most = BV_LIMIT_TOLERANCE;
  for (size_t i = 0; i < problem->limits; i++) {
    if (isnan(told->limits[i]))
      return HUGE_VAL;
    most = fmax(most, told->limits[i]);
  }
  return most > BV_LIMIT_TOLERANCE ? most : 0;
}
