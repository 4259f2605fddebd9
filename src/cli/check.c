/* SPDX-License-Identifier: MIT */
/* brimvolt check: a study checked without being searched. */
#include "cli/command.h"
#include "cli/open.h"
#include "cli/out.h"
#include "run/pool.h"
#include "run/survey.h"

typedef struct check_options {
  uint64_t points, seed, jobs;
  const char *case_name;
  double point_seconds;
} check_options;

#define AT(member) offsetof(check_options, member)
static const bv_option options_of_check[] = {
    {"points", "N", "points to evaluate (500)", BV_OPTION_WHOLE, AT(points), 1,
     BV_SURVEY_MOST, NULL},
    {"seed", "N", "key of all random numbers (1)", BV_OPTION_WHOLE, AT(seed), 0,
     9007199254740992.0, NULL},
    {"case", "NAME", "check this case of a study that has cases (the first)",
     BV_OPTION_TEXT, AT(case_name), 0, 0, NULL},
    {"jobs", "N", "worker processes (one a processor)", BV_OPTION_WHOLE,
     AT(jobs), 1, BV_POOL_JOBS_MOST, NULL},
    {"point-time", "SECONDS", "time one evaluation may take (10)",
     BV_OPTION_NUMBER, AT(point_seconds), 1e-3, 1e6, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  bv_survey_options survey = bv_survey_defaults();
  *(check_options *) options = (check_options){
      survey.points, survey.seed, survey.jobs, NULL, survey.point_seconds};
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const check_options *options = given;
  bv_study *study;
  bv_status status = bv_open_study(words, options->seed, options->point_seconds,
                                   &study, error);
  if (status != BV_OK)
    return status;
  bv_survey_options survey = bv_survey_defaults();
  survey.points = (size_t) options->points;
  survey.seed = options->seed;
  survey.jobs = (size_t) options->jobs;
  survey.point_seconds = options->point_seconds;
  bv_buffer text = {0};
  status = bv_open_case(study, options->case_name, false, error);
  if (status == BV_OK)
    status = bv_survey(study, &survey, &text, error);
  if (status == BV_OK)
    status = bv_out_write(&text, error);
  bv_buffer_free(&text);
  bv_study_close(study);
  return status;
}

const bv_command bv_check_command = {
    .name = "check",
    .takes = "STUDY.lua",
    .summary = "check a study without searching it\n"
               "Evaluates points spread over its space: what an evaluation "
               "costs, what share is\nfeasible, which limits forbid the rest, "
               "and which variables change nothing.",
    .example = "brimvolt check scripts/01-harbour-beacon.lua",
    .least = 1,
    .most = 1,
    .options = options_of_check,
    .size = sizeof(check_options),
    .defaults = set_defaults,
    .run = run};
