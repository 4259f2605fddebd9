/* SPDX-License-Identifier: MIT */
/* Feeds made-up studies to the host (`make fuzz`): what opens is evaluated and
 * described. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "script/study.h"

static char path[] = "/tmp/brimvolt-fuzz-XXXXXX";

static void remove_file(void) {
  unlink(path);
}

static void write_file(const uint8_t *bytes, size_t length) {
  static int ready;
  if (!ready && (close(mkstemp(path)) != 0 || atexit(remove_file) != 0))
    abort();
  ready = 1;
  FILE *file = fopen(path, "wb");
  if (!file || fwrite(bytes, 1, length, file) != length || fclose(file) != 0)
    abort();
}

static void study(const uint8_t *bytes, size_t length) {
  bv_study_options options = bv_study_defaults();
  bv_study *made;
  bv_record record;
  double x[BV_SPACE_MOST], objectives[BV_OBJECTIVES_MOST],
      limits[BV_LIMITS_MOST];
  options.library = "lib";
  options.load_steps_most = options.point_steps_most = 100000;
  options.memory_most = (size_t) 16 << 20;
  write_file(bytes, length);
  if (bv_study_open(path, &options, &made, NULL) != BV_OK)
    return;
  const bv_problem *problem = bv_study_problem(made);
  bv_evaluation evaluation = {
      .x = x, .objectives = objectives, .limits = limits};
  if (bv_study_parse_point(made, NULL, 0, x, NULL) != BV_OK)
    abort();
  (void) problem->evaluate(problem->context, &evaluation);
  (void) bv_study_describe(made, &evaluation, &record, NULL);
  bv_record_free(&record);
  bv_study_close(made);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
  study(bytes, length);
  return 0;
}
