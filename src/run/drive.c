/* SPDX-License-Identifier: MIT */
#include "run/drive.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/version.h"
#include "run/clock.h"
#include "run/finish.h"
#include "run/hooks.h"
#include "run/interrupt.h"
#include "run/probe.h"
#include "run/progress.h"
#include "run/report.h"
#include "run/steer.h"
#include "run/told.h"
#include "run/unlimited.h"

typedef struct drive {
  bv_study *study;
  const bv_drive_options *options;
  bv_pool *pool;
  bv_search *search;
  bv_meter meter;
  bv_hooks hooks;
  bool gave_up;
  double begun; /* s, by the clock */
} drive;

/* Designs near a front, where nobody says how many. */
enum { NEAR_MOST = 12 };

bv_drive_options bv_drive_defaults(void) {
  bv_pool_options pool = bv_pool_defaults();
  long processors = sysconf(_SC_NPROCESSORS_ONLN);
  size_t jobs = processors < 1 ? 1 : (size_t) processors;
  return (bv_drive_options){
      .search = bv_search_defaults(),
      .seconds = HUGE_VAL,
      .jobs = jobs < BV_POOL_JOBS_MOST ? jobs : BV_POOL_JOBS_MOST,
      .near = NEAR_MOST,
      .point_seconds = pool.point_seconds,
      .memory_most = pool.memory_most,
      .seed_designs = ""};
}

static bv_pool_options pool_options(const drive *d) {
  return (bv_pool_options){.jobs = d->options->jobs,
                           .point_seconds = d->options->point_seconds,
                           .memory_most = d->options->memory_most,
                           .describe = bv_tell,
                           .describe_context = d->study};
}

static bv_status open_pool(drive *d, bv_error *error) {
  bv_pool_options options = pool_options(d);
  return bv_pool_new(bv_study_problem(d->study), &options, &d->pool, error);
}

static bv_status open_search(drive *d, bv_error *error) {
  bv_search_options options = d->options->search;
  options.starts = bv_study_starts(d->study, &options.start_count);
  return bv_search_new(bv_study_problem(d->study), &options, &d->search, error);
}

/* Points that failed by a fault: of the script, or of what it asked for. */
static uint64_t faults(const bv_search_state *state) {
  return state->outcomes[BV_OUTCOME_ERROR] +
         state->outcomes[BV_OUTCOME_TIMEOUT] +
         state->outcomes[BV_OUTCOME_MEMORY] + state->outcomes[BV_OUTCOME_CRASH];
}

static bool too_many_faults(const drive *d, const bv_search *search) {
  uint64_t most = d->options->failures_most;
  bv_search_state state = bv_search_counts(search);
  return most > 0 && faults(&state) > most;
}

static bv_verdict look(void *context, const bv_search *search, double seconds) {
  drive *d = context;
  if (d->options->watch)
    d->options->watch(d->options->watch_context, search, seconds);
  else
    bv_meter_show(&d->meter, search, seconds);
  d->gave_up = d->gave_up || too_many_faults(d, search);
  if (d->gave_up)
    return BV_LEAVE;
  return bv_hooks_call(&d->hooks, d->study, search) ? BV_GO_ON : BV_END;
}

static bv_status run_search(drive *d, double *seconds, bv_error *error) {
  double started = bv_clock();
  bv_steering steering = {.seconds = d->options->seconds - (started - d->begun),
                          .look = look,
                          .context = d,
                          .keeper = d->options->keeper};
  d->meter = bv_meter_begin(d->options->quiet, d->options->search.evaluations,
                            d->options->seconds);
  bv_status status = bv_steer(d->search, d->pool, &steering, error);
  if (status == BV_OK && !d->gave_up)
    bv_hooks_last(&d->hooks, d->study, d->search);
  bv_meter_end(&d->meter);
  *seconds = bv_clock() - started;
  return status;
}

static char *copy_text(const char *text) {
  return text && *text ? strdup(text) : NULL;
}

static void tell_origin(const drive *d, const bv_search_state *state,
                        bv_origin *origin) {
  const char *path = bv_study_path(d->study), *slash = strrchr(path, '/');
  size_t objectives = bv_study_problem(d->study)->objectives;
  *origin = (bv_origin){.title = copy_text(bv_study_title(d->study)),
                        .study = copy_text(slash ? slash + 1 : path),
                        .case_name = copy_text(bv_study_case_chosen(d->study)),
                        .version = copy_text(BV_VERSION),
                        .digest = copy_text(bv_study_digest(d->study)),
                        .stop = copy_text(bv_stop_word(state->stop)),
                        .seed_designs = copy_text(d->options->seed_designs),
                        .seed = d->options->search.seed,
                        .evaluations = state->evaluations,
                        .hypervolume = state->hypervolume,
                        .is_estimate = state->is_estimate,
                        .reference_count = objectives};
  memcpy(origin->reference, state->reference,
         objectives * sizeof *origin->reference);
}

static void say_finish(drive *d, const bv_search_state *state) {
  char what[80];
  snprintf(what, sizeof what, "evaluating %zu designs once more, exactly",
           state->front);
  if (!d->options->watch)
    bv_meter_say(&d->meter, what);
}

static bv_status finish(drive *d, bv_drive_result *result, bv_error *error) {
  result->state = bv_search_look(d->search);
  say_finish(d, &result->state);
  bv_pool_options options = pool_options(d);
  bv_finish_most most = {.rows = d->options->rows, .near = d->options->near};
  bv_status status =
      bv_finish(d->study, d->pool, &options, d->search, most, &result->front,
                &result->near, &result->report, error);
  bv_meter_end(&d->meter);
  if (status != BV_OK)
    return status;
  tell_origin(d, &result->state, &result->front.origin);
  tell_origin(d, &result->state, &result->near.origin);
  status = bv_report_failures(d->study, d->pool, bv_search_failures(d->search),
                              &result->report, error);
  if (status == BV_OK && result->front.rows == 0)
    status = bv_report_infeasible(d->study, d->pool, d->search, &result->report,
                                  error);
  bv_unlimited_report(d->study, &result->front, &result->report);
  bv_report_absent(d->study, &result->front, &result->report);
  bv_hooks_report(&d->hooks, &result->report);
  return status;
}

static bv_status drive_all(drive *d, bv_drive_result *result, bv_error *error) {
  bv_status status = open_search(d, error);
  if (status == BV_OK)
    status = open_pool(d, error);
  bv_interrupt_mind(d->options->quiet);
  bv_interrupt_at_once(!d->options->keeper);
  if (status == BV_OK)
    status = bv_probe(d->study, d->pool, d->options->search.seed, error);
  bv_interrupt_at_once(false);
  if (bv_interrupt_is_late())
    return bv_interrupt_asked();
  if (status != BV_OK)
    return status;
  bv_status ended = run_search(d, &result->seconds, error);
  if (ended != BV_OK && ended != BV_INTERRUPTED && ended != BV_TERMINATED)
    return ended;
  result->gave_up = d->gave_up;
  status = finish(d, result, error);
  if (status == BV_OK)
    status = bv_interrupt_asked();
  if (status == BV_OK && result->front.rows == 0)
    status = BV_NO_DESIGN;
  return status;
}

static bool is_filled(bv_status status) {
  return status == BV_OK || status == BV_NO_DESIGN ||
         status == BV_INTERRUPTED || status == BV_TERMINATED;
}

bv_status bv_drive(bv_study *study, const bv_drive_options *options,
                   bv_drive_result *result, bv_error *error) {
  drive d = {.study = study,
             .options = options,
             .hooks = {.patience = options->point_seconds,
                       .memory_most = options->memory_most},
             .begun = bv_clock()};
  *result = (bv_drive_result){0};
  bv_status status = drive_all(&d, result, error);
  bv_hooks_end(&d.hooks);
  bv_pool_free(d.pool);
  bv_search_free(d.search);
  if (!is_filled(status))
    bv_drive_free(result);
  return status;
}

void bv_drive_free(bv_drive_result *result) {
  bv_front_free(&result->front);
  bv_front_free(&result->near);
  bv_buffer_free(&result->report);
}
