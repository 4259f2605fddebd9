/* SPDX-License-Identifier: MIT */
/* Studies made of a text: written to a folder of their own, opened, removed. */
#ifndef BV_TESTS_SCRIPT_TEST_H
#define BV_TESTS_SCRIPT_TEST_H

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "check_main.h"
#include "script/study.h"

/* Runs the test in an empty folder, so that messages begin with "study.lua".
 */
static char script_library[4096];

static inline void script_need(int good, const char *what) {
  if (!good) {
    perror(what);
    exit(EXIT_FAILURE);
  }
}

static inline void script_enter(void) {
  static char folder[] = "/tmp/brimvolt-script-XXXXXX";
  script_need(realpath("lib", script_library) != NULL, "lib");
  script_need(mkdtemp(folder) != NULL, folder);
  script_need(chdir(folder) == 0, folder);
}

static inline void script_leave(void) {
  char folder[4096], command[4200];
  script_need(getcwd(folder, sizeof folder) != NULL, "folder");
  script_need(strncmp(folder, "/tmp/brimvolt-script-", 21) == 0, folder);
  snprintf(command, sizeof command, "rm -rf '%s'", folder);
  script_need(system(command) == 0, command);
}

static inline void script_write(const char *name, const char *text) {
  FILE *file = fopen(name, "w");
  ck_assert_ptr_nonnull(file);
  fputs(text, file);
  fclose(file);
}

static inline bv_study_options script_options(void) {
  bv_study_options options = bv_study_defaults();
  options.library = script_library;
  options.load_steps_most = options.point_steps_most = 4000000;
  options.memory_most = (size_t) 64 << 20;
  return options;
}

/* Opens a study that must be good. */
static inline bv_study *script_open(const char *text) {
  bv_study_options options = script_options();
  bv_study *study;
  bv_error error = {0};
  script_write("study.lua", text);
  bv_status status = bv_study_open("study.lua", &options, &study, &error);
  ck_assert_msg(status == BV_OK, "%s", error.text);
  return study;
}

/* Evaluates the middle of the study's space. */
static inline bv_outcome script_evaluate(bv_study *study, double *objectives,
                                         double *limits) {
  double x[BV_SPACE_MOST];
  bv_error error;
  ck_assert_int_eq(bv_study_parse_point(study, NULL, 0, x, &error), BV_OK);
  bv_evaluation evaluation = {
      .x = x, .objectives = objectives, .limits = limits};
  const bv_problem *problem = bv_study_problem(study);
  return problem->evaluate(problem->context, &evaluation);
}

#endif
