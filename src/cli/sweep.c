/* SPDX-License-Identifier: MIT */
/* brimvolt sweep: every case of a study, each to a front of its own. */
#include "run/sweep.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "cli/open.h"

typedef struct sweep_options {
  const char *output, *slice, *seed_designs;
  uint64_t evaluations, seed, jobs, rows, stagnation, failures;
  double point_seconds, checkpoint;
  bool quiet, restart;
} sweep_options;

#define AT(member) offsetof(sweep_options, member)
static const bv_option options_of_sweep[] = {
    {"output", "DIR", "folder of the sweep; a run that was cut goes on there",
     BV_OPTION_TEXT, AT(output), 0, 0, NULL},
    {"slice", "I/N", "only cases k with k mod N = I, both from 0 (0/1)",
     BV_OPTION_TEXT, AT(slice), 0, 0, NULL},
    {"evaluations", "N", "points to evaluate at most a case (20000)",
     BV_OPTION_WHOLE, AT(evaluations), 1, 1e12, NULL},
    {"stagnation", "N", "end a case after N evaluations without gain (never)",
     BV_OPTION_WHOLE, AT(stagnation), 0, 1e12, NULL},
    {"seed", "N", "key of all random numbers (1)", BV_OPTION_WHOLE, AT(seed), 0,
     9007199254740992.0, NULL},
    {"seed-designs", "FRONT.csv",
     "begin every case with the designs of an earlier front", BV_OPTION_TEXT,
     AT(seed_designs), 0, 0, NULL},
    {"jobs", "N", "worker processes (one a processor)", BV_OPTION_WHOLE,
     AT(jobs), 1, BV_POOL_JOBS_MOST, NULL},
    {"rows", "N", "rows of a front at most, spread over it (every row)",
     BV_OPTION_WHOLE, AT(rows), 1, 1e9, NULL},
    {"point-time", "SECONDS", "time one evaluation may take (10)",
     BV_OPTION_NUMBER, AT(point_seconds), 1e-3, 1e6, NULL},
    {"failures", "N",
     "faults (errors, time-outs, memory, crashes) that end a case (200); 0: "
     "none do",
     BV_OPTION_WHOLE, AT(failures), 0, 1e12, NULL},
    {"checkpoint", "SECONDS", "time between two checkpoints (2)",
     BV_OPTION_NUMBER, AT(checkpoint), 0, 1e6, NULL},
    {"restart", NULL, "throw away what an earlier run left in the folder",
     BV_OPTION_FLAG, AT(restart), 0, 0, NULL},
    {"quiet", NULL, "no progress and no summary", BV_OPTION_FLAG, AT(quiet), 0,
     0, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  bv_sweep_options sweep = bv_sweep_defaults();
  bv_drive_options drive = sweep.drive;
  *(sweep_options *) options =
      (sweep_options){.slice = "0/1",
                      .evaluations = drive.search.evaluations,
                      .seed = drive.search.seed,
                      .jobs = drive.jobs,
                      .stagnation = drive.search.stagnation,
                      .failures = drive.failures_most,
                      .point_seconds = drive.point_seconds,
                      .checkpoint = sweep.checkpoint};
}

static bool read_whole(const char *text, const char *end, size_t *value) {
  size_t length = (size_t) (end - text);
  if (length == 0 || length > 6 || strspn(text, "0123456789") < length)
    return false;
  *value = strtoul(text, NULL, 10);
  return true;
}

static bv_status read_slice(const char *text, bv_sweep_options *options,
                            bv_error *error) {
  const char *slash = strchr(text, '/');
  if (slash && read_whole(text, slash, &options->slice) &&
      read_whole(slash + 1, slash + strlen(slash), &options->slices) &&
      options->slice < options->slices)
    return BV_OK;
  return bv_fail(error, BV_USAGE,
                 "--slice: expected I/N with I from 0 to N - 1, such as 0/8, "
                 "found '%.64s'",
                 text);
}

static bv_status read_options(const sweep_options *given,
                              bv_sweep_options *options, bv_error *error) {
  *options = bv_sweep_defaults();
  options->folder = given->output;
  options->checkpoint = given->checkpoint;
  options->restart = given->restart;
  options->drive.search.evaluations = given->evaluations;
  options->drive.search.seed = given->seed;
  options->drive.search.stagnation = given->stagnation;
  options->drive.failures_most = given->failures;
  options->drive.point_seconds = given->point_seconds;
  options->drive.jobs = (size_t) given->jobs;
  options->drive.rows = (size_t) given->rows;
  options->drive.quiet = given->quiet;
  if (!given->output || !*given->output)
    return bv_fail(error, BV_USAGE, "sweep: expected --output DIR");
  return read_slice(given->slice, options, error);
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const sweep_options *wanted = given;
  char digest[BV_DIGEST_SIZE] = "";
  bv_sweep_options options;
  bv_study *study;
  bv_status status = read_options(wanted, &options, error);
  if (status == BV_OK)
    status = bv_open_study(words, wanted->seed, wanted->point_seconds, &study,
                           error);
  if (status != BV_OK)
    return status;
  options.arguments = words->arguments;
  options.argument_count = words->argument_count;
  options.drive.seed_designs = digest;
  status = bv_open_seeds(study, wanted->seed_designs, wanted->evaluations,
                         wanted->quiet, digest, error);
  if (status == BV_OK)
    status = bv_sweep(study, &options, error);
  if (*error->text == '\0' && status != BV_OK)
    bv_fail(error, status, "%s", bv_status_meaning(status));
  bv_study_close(study);
  return status;
}

const bv_command bv_sweep_command = {
    .name = "sweep",
    .takes = "STUDY.lua",
    .summary = "search every case of a study, each to a front of its own\n"
               "The folder gets cases/NAME.csv with sidecars. The same script, "
               "seed and version\ngive the same bytes, for any number of jobs "
               "and slices.",
    .example = "brimvolt sweep night.lua --output night",
    .least = 1,
    .most = 1,
    .options = options_of_sweep,
    .size = sizeof(sweep_options),
    .defaults = set_defaults,
    .run = run};
