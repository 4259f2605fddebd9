/* SPDX-License-Identifier: MIT */
/* What every C test shares: relative comparison and the main function. */
#ifndef BV_TESTS_CHECK_MAIN_H
#define BV_TESTS_CHECK_MAIN_H

#include <check.h>
#include <math.h>
#include <stdlib.h>

/* Asserts |result - reference| <= tolerance |reference|; prints reference,
 * result and ratio. For a reference of zero give an absolute check instead. */
#define check_close(result, reference, tolerance)                              \
  do {                                                                         \
    double check_result_ = (result), check_reference_ = (reference);           \
    ck_assert_msg(fabs(check_result_ - check_reference_) <=                    \
                      (tolerance) *fabs(check_reference_),                     \
                  "%s: reference %.10g, result %.10g, ratio %.10g, "           \
                  "tolerance %g",                                              \
                  #result, check_reference_, check_result_,                    \
                  check_result_ / check_reference_, (double) (tolerance));     \
  } while (0)

/* How many times slower than usual the tests run: 1, or more under valgrind. */
static inline double check_slowness(void) {
  const char *slow = getenv("SLOW");
  return slow ? atof(slow) : 1;
}

/* Makes a suite of one case from a NULL-terminated list of tests and runs it;
 * each test may take so many seconds. */
static inline int check_main_within(const char *name, const TTest *const *tests,
                                    double seconds) {
  Suite *suite = suite_create(name);
  TCase *tcase = tcase_create("all");
  tcase_set_timeout(tcase, seconds);
  for (; *tests; tests++)
    tcase_add_test(tcase, *tests);
  suite_add_tcase(suite, tcase);
  SRunner *runner = srunner_create(suite);
  srunner_run_all(runner, CK_NORMAL);
  int failed = srunner_ntests_failed(runner);
  srunner_free(runner);
  return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

static inline int check_main(const char *name, const TTest *const *tests) {
  return check_main_within(name, tests, 120);
}

#endif
