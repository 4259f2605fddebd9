/* SPDX-License-Identifier: MIT */
/* Points told by workers of a run that was asked to end and is late. */
#include "run/told.h"

#include <signal.h>
#include <sys/mman.h>
#include <time.h>

#include "run/interrupt.h"
#include "script/script_test.h"

/* Points evaluated so far, told by the workers. */
static volatile size_t *evaluated;

/* So many are evaluated in time. */
enum { IN_TIME = 40, POINTS = 600 };

/* The clock of this program: after those points it is a minute later, and a
 * look at it takes so long that the worker goes on meanwhile. */
int clock_gettime(clockid_t clock, struct timespec *time) {
  (void) clock;
  if (!timespec_get(time, TIME_UTC))
    return -1;
  if (evaluated && *evaluated >= IN_TIME) {
    time->tv_sec += 60;
    usleep(1000);
  }
  return 0;
}

/* In the only worker. The first point that is late lasts longer than the pool
 * sleeps, so that it is given up; those after it don't. */
static bv_outcome tell_and_count(void *study, const double *x,
                                 bv_buffer *reply) {
  if (*evaluated == IN_TIME)
    usleep(500000);
  bv_outcome outcome = bv_tell(study, x, reply);
  (*evaluated)++;
  return outcome;
}

static const char script[] = "local space = require 'brimvolt.space'\n"
                             "return {\n"
                             "  variables = { a = space.real(0, 1) },\n"
                             "  evaluate = function(x)\n"
                             "    return { up = x.a, down = 1 - x.a }\n"
                             "  end,\n"
                             "  minimise = { 'up', 'down' },\n"
                             "}\n";

static double x[POINTS];

static bv_told *tell_late(bv_study *study) {
  bv_pool_options options = bv_pool_defaults();
  options.point_seconds = 1000;
  options.describe = tell_and_count;
  options.describe_context = study;
  bv_pool *pool;
  bv_told *told = NULL;
  bv_error error;
  const bv_problem *problem = bv_study_problem(study);
  ck_assert(bv_pool_new(problem, &options, &pool, &error) == BV_OK);
  bv_interrupt_mind(true);
  raise(SIGINT);
  ck_assert(bv_tell_all(pool, problem, x, POINTS, &told, &error) == BV_OK);
  bv_pool_free(pool);
  return told;
}

START_TEST(a_late_run_gives_no_point_the_results_of_another) {
  size_t others = 0, untold = 0;
  for (size_t i = 0; i < POINTS; i++)
    x[i] = (double) i / POINTS;
  evaluated = mmap(NULL, sizeof *evaluated, PROT_READ | PROT_WRITE,
                   MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  ck_assert(evaluated != MAP_FAILED);
  bv_study *study = script_open(script);
  bv_told *told = tell_late(study);
  for (size_t i = 0; i < POINTS; i++) {
    untold += told[i].untold;
    others += !told[i].untold && told[i].objectives[0] != x[i];
  }
  ck_assert_uint_eq(others, 0);
  ck_assert_uint_gt(untold, 0);
  ck_assert_uint_ge(POINTS - untold, IN_TIME);
  bv_told_free_all(told, POINTS);
  bv_study_close(study);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      a_late_run_gives_no_point_the_results_of_another, NULL};
  script_enter();
  int code = check_main("workers/told", tests);
  script_leave();
  return code;
}
