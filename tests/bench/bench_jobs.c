/* SPDX-License-Identifier: MIT */
/* What a second worker is worth on cheap points: the rate of two on two
 * processors over that of one worker, which shares a single processor with the
 * parent or has one to itself; what the parent itself takes an evaluation; and
 * what the machine gives to two processes that share nothing. Rounds alternate
 * and the best of each counts, for whatever else runs only adds. */
#include <math.h>
#include <sched.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "run/clock.h"
#include "run/steer.h"
#include "search/problems.h"

enum { ROUNDS = 5, CALIBRATION = 20000000 };
#define SECONDS 0.4 /* of work a search */

/* A published problem whose points take so many turns longer. */
typedef struct heavy {
  const bv_problem *inner;
  uint64_t turns;
} heavy;

/* Work that needs no memory and can't be left out. */
static void spin(uint64_t turns) {
  volatile uint64_t kept;
  uint64_t state = 1;
  for (uint64_t i = 0; i < turns; i++)
    state = state * 6364136223846793005u + 1442695040888963407u;
  kept = state;
  (void) kept;
}

static bv_outcome evaluate(void *context, bv_evaluation *evaluation) {
  const heavy *h = context;
  spin(h->turns);
  return h->inner->evaluate(h->inner->context, evaluation);
}

/* Of this process, or of its workers that ended. */
static double processor_time(int whose) {
  struct rusage used;
  getrusage(whose, &used);
  return (double) (used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
         1e-6 * (double) (used.ru_utime.tv_usec + used.ru_stime.tv_usec);
}

static void must(bv_status status, const bv_error *error) {
  if (status == BV_OK)
    return;
  fprintf(stderr, "%s\n", error->text);
  exit(EXIT_FAILURE);
}

/* Seconds that pass, and those that parent and workers are at work. */
typedef struct cost {
  double passed, parent, workers;
} cost;

static cost search(const bv_problem *problem, uint64_t evaluations,
                   size_t jobs) {
  bv_error error;
  bv_search *s;
  bv_pool *pool;
  bv_search_options options = bv_search_defaults();
  bv_pool_options workers = bv_pool_defaults();
  bv_steering steering = {.seconds = HUGE_VAL};
  options.evaluations = evaluations;
  workers.jobs = jobs;
  must(bv_search_new(problem, &options, &s, &error), &error);
  must(bv_pool_new(problem, &workers, &pool, &error), &error);
  cost c = {bv_clock(), processor_time(RUSAGE_SELF),
            processor_time(RUSAGE_CHILDREN)};
  must(bv_steer(s, pool, &steering, &error), &error);
  c.passed = bv_clock() - c.passed;
  c.parent = processor_time(RUSAGE_SELF) - c.parent;
  bv_pool_free(pool);
  c.workers = processor_time(RUSAGE_CHILDREN) - c.workers;
  bv_search_free(s);
  return c;
}

/* Lets this process and those it begins from now on have so many processors. */
static void confine(size_t processors) {
  cpu_set_t set;
  CPU_ZERO(&set);
  for (size_t i = 0; i < processors; i++)
    CPU_SET(i, &set);
  if (sched_setaffinity(0, sizeof set, &set) != 0) {
    perror("sched_setaffinity");
    exit(EXIT_FAILURE);
  }
}

/* Seconds until so many processes have done the work, each all of it. */
static double alone(uint64_t turns, int processes) {
  double begin = bv_clock();
  for (int i = 0; i < processes; i++) {
    pid_t child = fork();
    if (child < 0)
      exit(EXIT_FAILURE);
    if (child == 0) {
      spin(turns);
      _exit(EXIT_SUCCESS);
    }
  }
  while (wait(NULL) > 0)
    continue;
  return bv_clock() - begin;
}

static uint64_t turns_a_second(void) {
  double least = HUGE_VAL;
  for (int i = 0; i < ROUNDS; i++) {
    double begin = processor_time(RUSAGE_SELF);
    spin(CALIBRATION);
    least = fmin(least, processor_time(RUSAGE_SELF) - begin);
  }
  return (uint64_t) (CALIBRATION / least);
}

static void keep_least(cost *least, cost next) {
  least->passed = fmin(least->passed, next.passed);
  least->parent = fmin(least->parent, next.parent);
  least->workers = fmin(least->workers, next.workers);
}

static void measure(const char *name, double seconds, uint64_t rate,
                    double goal) {
  heavy h = {&test_problem_find(name)->problem,
             (uint64_t) (seconds * (double) rate)};
  bv_problem problem = *h.inner;
  problem.evaluate = evaluate;
  problem.context = &h;
  uint64_t evaluations = (uint64_t) (SECONDS / seconds);
  cost one = {HUGE_VAL, HUGE_VAL, HUGE_VAL}, two = one, narrow = one;
  double single = HUGE_VAL, both = HUGE_VAL;
  for (int i = 0; i < ROUNDS; i++) {
    confine(1);
    keep_least(&narrow, search(&problem, evaluations, 1));
    confine(2);
    keep_least(&one, search(&problem, evaluations, 1));
    keep_least(&two, search(&problem, evaluations, 2));
    single = fmin(single, alone(h.turns * evaluations / 2, 1));
    both = fmin(both, alone(h.turns * evaluations / 2, 2));
  }
  printf("%zu objectives, %3.0f us a point: two workers on two processors %.2f "
         "times one on one (goal %.2f), two processes alone %.2f\n",
         problem.objectives, 1e6 * seconds, narrow.passed / two.passed, goal,
         2 * single / both);
  /* Two workers share their processors with the parent. */
  printf("  %.2f times one that has a processor to itself\n",
         one.passed / two.passed);
  printf("  an evaluation takes the parent %.2f us, the workers %.1f us; two "
         "processors can't do better than %.2f\n",
         1e6 * two.parent / (double) evaluations,
         1e6 * two.workers / (double) evaluations,
         2 * one.workers / (two.workers + two.parent));
}

int main(void) {
  uint64_t rate = turns_a_second();
  measure("OSY", 20e-6, rate, 1.9);
  measure("OSY", 100e-6, rate, 1.95);
  measure("DTLZ2", 20e-6, rate, 1.9);
  measure("DTLZ2", 100e-6, rate, 1.95);
  return EXIT_SUCCESS;
}
