/* SPDX-License-Identifier: MIT */
/* brimvolt search: a study in, a front out. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/open.h"
#include "cli/out.h"
#include "run/drive.h"

typedef struct search_options {
  const char *output, *seed_designs, *case_name;
  uint64_t evaluations, seed, jobs, rows, near, stagnation;
  double seconds, point_seconds;
  bool quiet;
} search_options;

#define AT(member) offsetof(search_options, member)
static const bv_option options_of_search[] = {
    {"output", "FRONT.csv", "where the front goes; left out: standard output",
     BV_OPTION_TEXT, AT(output), 0, 0, NULL},
    {"evaluations", "N", "points to evaluate at most (20000)", BV_OPTION_WHOLE,
     AT(evaluations), 1, 1e12, NULL},
    {"time", "SECONDS", "time to search at most (no limit)", BV_OPTION_NUMBER,
     AT(seconds), 1e-3, HUGE_VAL, NULL},
    {"stagnation", "N", "end after N evaluations without gain (never)",
     BV_OPTION_WHOLE, AT(stagnation), 0, 1e12, NULL},
    {"seed", "N", "key of all random numbers (1)", BV_OPTION_WHOLE, AT(seed), 0,
     9007199254740992.0, NULL},
    {"case", "NAME", "search this case of a study that has cases (the first)",
     BV_OPTION_TEXT, AT(case_name), 0, 0, NULL},
    {"seed-designs", "FRONT.csv", "begin with the designs of an earlier front",
     BV_OPTION_TEXT, AT(seed_designs), 0, 0, NULL},
    {"jobs", "N", "worker processes (one a processor)", BV_OPTION_WHOLE,
     AT(jobs), 1, BV_POOL_JOBS_MOST, NULL},
    {"rows", "N", "rows of the front at most, spread over it (every row)",
     BV_OPTION_WHOLE, AT(rows), 1, 1e9, NULL},
    {"near", "N",
     "designs that a small change of one limit would admit, kept beside the "
     "front (12)",
     BV_OPTION_WHOLE, AT(near), 0, 1e4, NULL},
    {"point-time", "SECONDS", "time one evaluation may take (10)",
     BV_OPTION_NUMBER, AT(point_seconds), 1e-3, 1e6, NULL},
    {"quiet", NULL,
     "no progress and no summary; failures are told all the same",
     BV_OPTION_FLAG, AT(quiet), 0, 0, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  bv_drive_options drive = bv_drive_defaults();
  *(search_options *) options =
      (search_options){.output = "-",
                       .evaluations = drive.search.evaluations,
                       .seed = drive.search.seed,
                       .jobs = drive.jobs,
                       .near = drive.near,
                       .stagnation = drive.search.stagnation,
                       .seconds = drive.seconds,
                       .point_seconds = drive.point_seconds};
}

static bv_drive_options drive_options(const search_options *given) {
  bv_drive_options options = bv_drive_defaults();
  options.search.evaluations = given->evaluations;
  options.search.seed = given->seed;
  options.search.stagnation = given->stagnation;
  options.seconds = given->seconds;
  options.point_seconds = given->point_seconds;
  options.jobs = (size_t) given->jobs;
  options.rows = (size_t) given->rows;
  options.near = (size_t) given->near;
  options.quiet = given->quiet;
  return options;
}

static void print_summary(const bv_drive_result *result) {
  const bv_search_state *state = &result->state;
  fprintf(stderr,
          "%llu evaluations in %.2f s (%.0f/s), %llu feasible; ended by: %s\n",
          (unsigned long long) state->evaluations, result->seconds,
          (double) state->evaluations / result->seconds,
          (unsigned long long) state->feasible, bv_stop_word(state->stop));
}

static void print_files(const bv_drive_result *result, const char *output) {
  bv_buffer quoted = {0};
  size_t rows = result->front.rows;
  fprintf(stderr, "%zu design%s on the front: %s\n", rows, rows == 1 ? "" : "s",
          output);
  bv_buffer_append_word(&quoted, output);
  if (result->near.rows > 0 && !quoted.failed)
    fprintf(stderr,
            "%zu that a small change of a limit would admit: brimvolt table %s "
            "--near\n",
            result->near.rows, quoted.text);
  bv_buffer_free(&quoted);
}

static bv_status hand_over(bv_status status, const bv_drive_result *result,
                           const search_options *options, bv_error *error) {
  if (!options->quiet)
    print_summary(result);
  if (result->report.text)
    fputs(result->report.text, stderr);
  if (result->front.rows == 0)
    return bv_fail(error, status == BV_OK ? BV_NO_DESIGN : status,
                   "no feasible design found, nothing is written%s%s",
                   strcmp(options->output, "-") == 0 ? "" : " to ",
                   strcmp(options->output, "-") == 0 ? "" : options->output);
  bv_status written =
      bv_out_put_front(options->output, &result->front, &result->near, error);
  if (written != BV_OK && strcmp(options->output, "-") != 0)
    bv_out_keep_front(&result->front, &result->near, error);
  if (written == BV_OK && !options->quiet && strcmp(options->output, "-") != 0)
    print_files(result, options->output);
  if (written != BV_OK || status == BV_OK)
    return written;
  return bv_fail(error, status, "%s", bv_status_meaning(status));
}

static bv_status search(bv_study *study, const search_options *options,
                        const char *digest, bv_error *error) {
  bv_drive_options drive = drive_options(options);
  bv_drive_result result;
  drive.seed_designs = digest;
  bv_status status = bv_drive(study, &drive, &result, error);
  if (status != BV_BAD_DATA && status != BV_INTERNAL) {
    status = hand_over(status, &result, options, error);
    bv_drive_free(&result);
  }
  return status;
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const search_options *options = given;
  char digest[BV_DIGEST_SIZE] = "";
  bv_study *study;
  bv_status status = bv_out_spare(options->output, words->words[0], error);
  if (status == BV_OK)
    status = bv_out_check_front(options->output, options->near > 0, error);
  if (status == BV_OK)
    status = bv_open_study(words, options->seed, options->point_seconds, &study,
                           error);
  if (status != BV_OK)
    return status;
  status = bv_open_case(study, options->case_name, options->quiet, error);
  if (status == BV_OK)
    status = bv_open_seeds(study, options->seed_designs, options->evaluations,
                           options->quiet, digest, error);
  if (status == BV_OK)
    status = search(study, options, digest, error);
  bv_study_close(study);
  return status;
}

const bv_command bv_search_command = {
    .name = "search",
    .takes = "STUDY.lua",
    .summary = "search the front of a study\n"
               "The front is a CSV file with a sidecar beside it. The same "
               "script, seed and\nversion give the same bytes, for any number "
               "of jobs. Designs that miss one\nlimit alone, by at most 5 % "
               "of it, and that lead the front then are kept in\n"
               "FRONT.near.csv.",
    .example = "brimvolt search scripts/01-harbour-beacon.lua --output "
               "front.csv",
    .least = 1,
    .most = 1,
    .options = options_of_search,
    .size = sizeof(search_options),
    .defaults = set_defaults,
    .run = run};
