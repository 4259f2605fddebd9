/* SPDX-License-Identifier: MIT */
/* What a second worker is worth on cheap points: the rate of two on two
 * processors over that of one worker which shares a single processor with its
 * parent, beside the rate of two such searches at once that share nothing, each
 * on a processor of its own: more the machine doesn't give. And what the parent
 * and the workers take an evaluation. What is compared runs in turns and the
 * median of the turns' ratios counts, so that other work on the machine hits
 * all alike. */
#include <math.h>
#include <sched.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "bench/rounds.h"
#include "run/clock.h"
#include "run/steer.h"
#include "search/problems.h"

/* A search of the default budget. */
enum { EVALUATIONS = 20000, ROUNDS = 7, CALIBRATION = 20000000 };

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

static cost search(const bv_problem *problem, size_t jobs) {
  bv_error error;
  bv_search *s;
  bv_pool *pool;
  bv_search_options options = bv_search_defaults();
  bv_pool_options workers = bv_pool_defaults();
  bv_steering steering = {.seconds = HUGE_VAL};
  options.evaluations = EVALUATIONS;
  workers.jobs = jobs;
  cost c = {bv_clock(), processor_time(RUSAGE_SELF),
            processor_time(RUSAGE_CHILDREN)};
  must(bv_search_new(problem, &options, &s, &error), &error);
  must(bv_pool_new(problem, &workers, &pool, &error), &error);
  must(bv_steer(s, pool, &steering, &error), &error);
  bv_pool_free(pool);
  bv_search_free(s);
  c.passed = bv_clock() - c.passed;
  c.parent = processor_time(RUSAGE_SELF) - c.parent;
  c.workers = processor_time(RUSAGE_CHILDREN) - c.workers;
  return c;
}

/* Lets this process and those it begins from now on have the processors from
 * one up to another. */
static void confine(int first, int last) {
  cpu_set_t set;
  CPU_ZERO(&set);
  for (int i = first; i <= last; i++)
    CPU_SET((size_t) i, &set);
  if (sched_setaffinity(0, sizeof set, &set) != 0) {
    perror("sched_setaffinity");
    exit(EXIT_FAILURE);
  }
}

/* Seconds that one worker takes beside its parent on a single processor. */
static double narrow(const bv_problem *problem) {
  confine(0, 0);
  double passed = search(problem, 1).passed;
  confine(0, 1);
  return passed;
}

/* Seconds until two such searches are over, each on its own processor. */
static double side_by_side(const bv_problem *problem) {
  double begin = bv_clock();
  for (int i = 0; i < 2; i++) {
    pid_t child = fork();
    if (child == 0) {
      confine(i, i);
      search(problem, 1);
      _exit(EXIT_SUCCESS);
    }
    if (child < 0)
      exit(EXIT_FAILURE);
  }
  for (int how; wait(&how) > 0;)
    if (how != 0)
      exit(EXIT_FAILURE);
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

static void measure(const char *name, double seconds, uint64_t rate,
                    const char *goal) {
  heavy h = {&test_problem_find(name)->problem,
             (uint64_t) (seconds * (double) rate)};
  bv_problem problem = *h.inner;
  problem.evaluate = evaluate;
  problem.context = &h;
  double gain[ROUNDS], ceiling[ROUNDS], reached[ROUNDS], parent[ROUNDS],
      workers[ROUNDS];
  for (int i = 0; i < ROUNDS; i++) {
    double one = narrow(&problem), both = side_by_side(&problem);
    cost two = search(&problem, 2);
    gain[i] = one / two.passed;
    ceiling[i] = 2 * one / both;
    reached[i] = 100 * gain[i] / ceiling[i];
    parent[i] = 1e6 * two.parent / EVALUATIONS;
    workers[i] = 1e6 * two.workers / EVALUATIONS;
  }
  printf("%zu objectives, %.0f us a point\n", problem.objectives,
         1e6 * seconds);
  print_rounds("rate of two workers over one", gain, ROUNDS, goal);
  print_rounds("  of two searches side by side over one", ceiling, ROUNDS, "");
  print_rounds("  two workers reach of these", reached, ROUNDS, "%");
  print_rounds("  an evaluation takes the parent", parent, ROUNDS, "us");
  print_rounds("  and the workers", workers, ROUNDS, "us");
}

int main(void) {
  uint64_t rate = turns_a_second();
  measure("OSY", 20e-6, rate, "(goal 1.90)");
  measure("OSY", 100e-6, rate, "(goal 1.95)");
  measure("DTLZ2", 20e-6, rate, "(goal 1.90)");
  measure("DTLZ2", 100e-6, rate, "(goal 1.95)");
  return EXIT_SUCCESS;
}
