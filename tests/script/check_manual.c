/* SPDX-License-Identifier: MIT */
/* Every study in lib/manual.md opens and evaluates. */
#include "base/file.h"
#include "script_test.h"

static char manual[4096];

START_TEST(the_studies_of_the_manual_run) {
  bv_buffer text = {0};
  bv_error error = {0};
  size_t run = 0;
  ck_assert_msg(bv_file_read(manual, (size_t) 1 << 20, &text, &error) == BV_OK,
                "%s", error.text);
  for (char *at = text.text; (at = strstr(at, "```lua\n")); run++) {
    at += strlen("```lua\n");
    char *end = strstr(at, "```");
    ck_assert_ptr_nonnull(end);
    *end = '\0';
    bv_study *study = script_open(at);
    double objectives[BV_OBJECTIVES_MOST], limits[BV_LIMITS_MOST];
    bv_outcome outcome = script_evaluate(study, objectives, limits);
    ck_assert_msg(outcome == BV_OUTCOME_EVALUATED, "%s\n%s", at,
                  bv_study_last_error(study));
    bv_study_close(study);
    at = end + 1;
  }
  ck_assert_uint_ge(run, 3);
  bv_buffer_free(&text);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {the_studies_of_the_manual_run, NULL};
  script_need(realpath("lib/manual.md", manual) != NULL, "lib/manual.md");
  script_enter();
  int code = check_main("manual", tests);
  script_leave();
  return code;
}
