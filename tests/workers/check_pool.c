/* SPDX-License-Identifier: MIT */
/* The pool against the search run in this process: workers that die or hang
 * must change nothing but the outcome of the point that did it. */
#include "run/pool.h"

#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check_main.h"
#include "run/clock.h"
#include "run/steer.h"
#include "search/search.h"

/* How a point in the strip 0.4 < x1 < 0.4 + width fails. */
typedef struct trap {
  double width;
  bv_outcome outcome;   /* what to return there … */
  void (*spring)(void); /* … or what to do there */
} trap;

/* A problem of two objectives and one limit. */
static bv_outcome evaluate(void *context, bv_evaluation *evaluation) {
  const trap *t = context;
  double a = evaluation->x[0], b = evaluation->x[1];
  if (t && b > 0.4 && b < 0.4 + t->width) {
    if (t->spring)
      t->spring();
    return t->outcome;
  }
  evaluation->was_relaxed = false;
  evaluation->objectives[0] = a + b * b;
  evaluation->objectives[1] = (1 - a) * (1 - a) + b;
  evaluation->limits[0] = 0.1 - a;
  return BV_OUTCOME_EVALUATED;
}

static const bv_variable variables[] = {{"first", BV_SCALE_REAL, 0, 1, 0},
                                        {"second", BV_SCALE_REAL, 0, 1, 0}};

static bv_problem problem_with(trap *t) {
  return (bv_problem){.space = {variables, 2},
                      .objectives = 2,
                      .limits = 1,
                      .evaluate = evaluate,
                      .context = t};
}

static bv_search *search_of(const bv_problem *problem, uint64_t evaluations) {
  bv_search_options options = bv_search_defaults();
  options.evaluations = evaluations;
  bv_search *search;
  bv_error error;
  ck_assert_msg(bv_search_new(problem, &options, &search, &error) == BV_OK,
                "%s", error.text);
  return search;
}

static bv_search *run_here(const bv_problem *problem, uint64_t evaluations) {
  bv_search *search = search_of(problem, evaluations);
  bv_search_run(search);
  return search;
}

static bv_search *run_in_pool(const bv_problem *problem, uint64_t evaluations,
                              bv_pool_options options, size_t *replaced) {
  bv_search *search = search_of(problem, evaluations);
  bv_error error;
  bv_pool *pool;
  ck_assert_msg(bv_pool_new(problem, &options, &pool, &error) == BV_OK, "%s",
                error.text);
  bv_steering steering = {.seconds = HUGE_VAL};
  ck_assert_msg(bv_steer(search, pool, &steering, &error) == BV_OK, "%s",
                error.text);
  if (replaced)
    *replaced = bv_pool_replaced(pool);
  bv_pool_free(pool);
  return search;
}

static void assert_same(const bv_search *here, const bv_search *there) {
  bv_search_state a = bv_search_look(here), b = bv_search_look(there);
  ck_assert_uint_eq(a.evaluations, b.evaluations);
  ck_assert_uint_eq(a.cells, b.cells);
  ck_assert_uint_eq(a.feasible, b.feasible);
  for (size_t i = 0; i < BV_OUTCOME_COUNT; i++)
    ck_assert_uint_eq(a.outcomes[i], b.outcomes[i]);
  ck_assert_uint_eq(a.front, b.front);
  for (size_t i = 0; i < a.front; i++) {
    bv_point p = bv_search_front(here, i), q = bv_search_front(there, i);
    ck_assert_mem_eq(p.x, q.x, 2 * sizeof *p.x);
    ck_assert_mem_eq(p.objectives, q.objectives, 2 * sizeof *p.x);
  }
  ck_assert(a.hypervolume == b.hypervolume);
}

START_TEST(any_number_of_workers_gives_the_same_search) {
  bv_problem problem = problem_with(NULL);
  bv_search *here = run_here(&problem, 3000);
  ck_assert_uint_gt(bv_search_look(here).front, 10);
  static const size_t jobs[] = {1, 2, 5};
  for (size_t i = 0; i < sizeof jobs / sizeof *jobs; i++) {
    bv_pool_options options = bv_pool_defaults();
    options.jobs = jobs[i];
    bv_search *there = run_in_pool(&problem, 3000, options, NULL);
    assert_same(here, there);
    bv_search_free(there);
  }
  bv_search_free(here);
}
END_TEST

static void die(void) {
  raise(SIGSEGV);
}

static void be_killed(void) {
  raise(SIGKILL);
}

static void hang(void) {
  for (;;)
    pause();
}

/* Compares a search whose points fail by themselves with one whose points take
 * their worker with them, `each` of them. */
static void check_trap(double width, uint64_t evaluations, bv_outcome outcome,
                       void (*spring)(void), double point_seconds,
                       unsigned each) {
  trap gentle = {width, outcome, NULL}, real = {width, outcome, spring};
  bv_problem told = problem_with(&gentle), lived = problem_with(&real);
  bv_search *here = run_here(&told, evaluations);
  uint64_t expected = bv_search_look(here).outcomes[outcome];
  ck_assert_uint_gt(expected, 0);
  bv_pool_options options = bv_pool_defaults();
  options.jobs = 2;
  options.point_seconds = point_seconds;
  size_t replaced;
  bv_search *there = run_in_pool(&lived, evaluations, options, &replaced);
  ck_assert_uint_eq(replaced, each * expected);
  assert_same(here, there);
  bv_search_free(here);
  bv_search_free(there);
}

START_TEST(a_worker_that_dies_fails_its_point_alone) {
  check_trap(0.1, 1500, BV_OUTCOME_CRASH, die, 10, 1);
}
END_TEST

/* A system without memory may kill it for what the point takes. */
START_TEST(a_point_that_has_its_worker_killed_twice_fails) {
  check_trap(0.1, 1500, BV_OUTCOME_CRASH, be_killed, 10, 2);
}
END_TEST

/* The points at which workers were killed, seen by all of them. */
enum { VICTIMS_MOST = 1000 };
typedef struct victims {
  atomic_size_t count;
  double x[VICTIMS_MOST][2];
} victims;
static victims *killed;

static bool was_killed_at(const double *x) {
  for (size_t i = 0; i < atomic_load(&killed->count); i++)
    if (memcmp(killed->x[i], x, sizeof killed->x[i]) == 0)
      return true;
  return false;
}

/* Kills each worker at its 30th visit or after, but none where one was killed
 * before: no point loses two. */
static bv_outcome evaluate_in_danger(void *context, bv_evaluation *evaluation) {
  static unsigned visits; /* of this process: a worker begins at none */
  if (++visits >= 30 && !was_killed_at(evaluation->x)) {
    size_t at = atomic_fetch_add(&killed->count, 1);
    ck_assert_uint_lt(at, VICTIMS_MOST);
    memcpy(killed->x[at], evaluation->x, sizeof killed->x[at]);
    raise(SIGKILL);
  }
  return evaluate(context, evaluation);
}

START_TEST(workers_killed_from_outside_change_nothing) {
  bv_problem calm = problem_with(NULL), danger = calm;
  danger.evaluate = evaluate_in_danger;
  killed = mmap(NULL, sizeof *killed, PROT_READ | PROT_WRITE,
                MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  ck_assert_ptr_ne(killed, MAP_FAILED);
  bv_search *here = run_here(&calm, 2000);
  bv_pool_options options = bv_pool_defaults();
  options.jobs = 2;
  size_t replaced;
  bv_search *there = run_in_pool(&danger, 2000, options, &replaced);
  ck_assert_uint_ge(replaced, 50);
  ck_assert_uint_eq(bv_search_look(there).outcomes[BV_OUTCOME_CRASH], 0);
  assert_same(here, there);
  bv_search_free(here);
  bv_search_free(there);
  munmap(killed, sizeof *killed);
}
END_TEST

START_TEST(a_worker_that_hangs_fails_its_point_alone) {
  check_trap(0.04, 300, BV_OUTCOME_TIMEOUT, hang, 0.15 * check_slowness(), 1);
}
END_TEST

static bv_outcome describe(void *context, const double *x, bv_buffer *reply) {
  (void) context;
  if (x[0] > 0.9)
    die();
  if (x[0] > 0.8)
    hang();
  if (x[0] > 0.7)
    for (size_t i = 0; i <= BV_REPLY_MOST; i++)
      bv_buffer_append(reply, "x", 1);
  bv_buffer_print(reply, "%g", x[0]);
  return x[0] > 0.6 ? BV_OUTCOME_ERROR : BV_OUTCOME_EVALUATED;
}

static bv_pool *describing_pool(bv_problem *problem, size_t jobs) {
  *problem = problem_with(NULL);
  bv_pool_options options = bv_pool_defaults();
  options.jobs = jobs;
  options.point_seconds = 0.3 * check_slowness();
  options.describe = describe;
  bv_pool *pool;
  bv_error error;
  ck_assert_msg(bv_pool_new(problem, &options, &pool, &error) == BV_OK, "%s",
                error.text);
  return pool;
}

static bool next(bv_pool *pool, int milliseconds, bv_answer *answer) {
  bool done;
  bv_error error;
  ck_assert_msg(bv_pool_next(pool, milliseconds, answer, &done, &error) ==
                    BV_OK,
                "%s", error.text);
  return done;
}

START_TEST(points_are_described_in_order) {
  static const struct {
    double x[2];
    bv_outcome outcome;
    const char *reply;
  } rows[] = {{{0.1, 0}, BV_OUTCOME_EVALUATED, "0.1"},
              {{0.95, 0}, BV_OUTCOME_CRASH, ""},
              {{0.2, 0}, BV_OUTCOME_EVALUATED, "0.2"},
              {{0.85, 0}, BV_OUTCOME_TIMEOUT, ""},
              {{0.65, 0}, BV_OUTCOME_ERROR, "0.65"},
              {{0.75, 0}, BV_OUTCOME_MEMORY, ""},
              {{0.3, 0}, BV_OUTCOME_EVALUATED, "0.3"}};
  size_t count = sizeof rows / sizeof *rows;
  bv_problem problem;
  bv_pool *pool = describing_pool(&problem, 2);
  for (size_t i = 0; i < count; i++)
    bv_pool_post_point(pool, rows[i].x);
  for (size_t i = 0; i < count; i++) {
    bv_answer answer;
    ck_assert(next(pool, (int) (5000 * check_slowness()), &answer));
    ck_assert_int_eq(answer.outcome, rows[i].outcome);
    ck_assert_str_eq(answer.reply, rows[i].reply);
    bv_pool_drop(pool);
  }
  ck_assert_uint_eq(bv_pool_pending(pool), 0);
  bv_pool_free(pool);
}
END_TEST

START_TEST(waiting_ends_when_time_is_over_and_clearing_goes_on) {
  bv_problem problem;
  bv_pool *pool = describing_pool(&problem, 1);
  bv_answer answer;
  bv_error error;
  bv_pool_post_point(pool, (double[]){0.85, 0});
  bv_pool_post_point(pool, (double[]){0.1, 0});
  double started = bv_clock();
  ck_assert(!next(pool, 120, &answer));
  ck_assert(bv_clock() - started > 0.1 && bv_clock() - started < 2);
  ck_assert(bv_pool_clear(pool, &error) == BV_OK);
  ck_assert_uint_eq(bv_pool_pending(pool), 0);
  ck_assert(!next(pool, 1000, &answer));
  bv_pool_post_point(pool, (double[]){0.2, 0});
  ck_assert(next(pool, 5000, &answer));
  ck_assert_str_eq(answer.reply, "0.2");
  bv_pool_free(pool);
}
END_TEST

START_TEST(the_queue_fills_and_empties) {
  bv_problem problem;
  bv_pool *pool = describing_pool(&problem, 2);
  bv_answer answer;
  size_t posted = 0, answered = 0;
  while (!bv_pool_full(pool)) {
    bv_pool_post_point(pool, (double[]){0.1, 0});
    posted++;
  }
  ck_assert_uint_eq(posted, BV_POOL_QUEUE_LEAST);
  for (; answered < 3 * posted; answered++) {
    ck_assert(next(pool, 5000, &answer));
    bv_pool_drop(pool);
    bv_pool_post_point(pool, (double[]){0.1, 0});
    ck_assert(bv_pool_full(pool));
  }
  bv_pool_free(pool);
}
END_TEST

/* Dead, perhaps not yet waited for by whoever inherited it. */
static bool is_dead(pid_t pid) {
  char path[64], line[256];
  snprintf(path, sizeof path, "/proc/%d/stat", (int) pid);
  FILE *file = fopen(path, "r");
  if (!file)
    return true;
  bool read = fgets(line, sizeof line, file) != NULL;
  fclose(file);
  const char *state = read ? strrchr(line, ')') : NULL;
  return !state || state[2] == 'Z';
}

static bool gone(pid_t pid) {
  for (int i = 0; i < 200 && !is_dead(pid); i++)
    usleep(10000);
  return is_dead(pid);
}

static bv_outcome tell_pid(void *context, const double *x, bv_buffer *reply) {
  (void) context;
  (void) x;
  bv_buffer_print(reply, "%d", (int) getpid());
  return BV_OUTCOME_EVALUATED;
}

/* In a process of its own: makes a pool, says who its worker is, and dies
 * without a goodbye. */
static void die_with_a_pool(int say) {
  bv_problem problem = problem_with(NULL);
  bv_pool_options options = bv_pool_defaults();
  options.describe = tell_pid;
  bv_pool *pool;
  bv_answer answer;
  bool done = false;
  if (bv_pool_new(&problem, &options, &pool, NULL) == BV_OK) {
    bv_pool_post_point(pool, (double[]){0, 0});
    bv_pool_next(pool, 5000, &answer, &done, NULL);
  }
  if (!done || write(say, answer.reply, answer.length) < 0)
    _exit(1);
  raise(SIGKILL);
}

START_TEST(workers_die_with_their_parent) {
  int channel[2];
  ck_assert(pipe(channel) == 0);
  pid_t parent = fork();
  if (parent == 0)
    die_with_a_pool(channel[1]);
  close(channel[1]);
  ck_assert(waitpid(parent, NULL, 0) == parent);
  char text[32] = {0};
  ck_assert(read(channel[0], text, sizeof text - 1) > 0);
  pid_t worker = (pid_t) atoi(text);
  ck_assert(worker > 1 && worker != getpid());
  ck_assert_msg(gone(worker), "worker %d lives on", (int) worker);
}
END_TEST

static bv_outcome nap(void *context, const double *x, bv_buffer *reply) {
  (void) context, (void) x, (void) reply;
  usleep(1000);
  return BV_OUTCOME_EVALUATED;
}

/* How often this process gave its processor up, to sleep. */
static long sleeps(void) {
  struct rusage usage;
  ck_assert_int_eq(getrusage(RUSAGE_SELF, &usage), 0);
  return usage.ru_nvcsw;
}

/* Each wake takes a processor from the workers: there are few while all of them
 * have more to do, not one a point. */
START_TEST(the_parent_sleeps_while_workers_have_more_to_do) {
  enum { POINTS = 200 };
  bv_problem problem = problem_with(NULL);
  bv_pool_options options = bv_pool_defaults();
  bv_pool *pool;
  bv_answer answer;
  options.jobs = 2;
  options.describe = nap;
  ck_assert_int_eq(bv_pool_new(&problem, &options, &pool, NULL), BV_OK);
  long before = sleeps();
  for (int posted = 0, taken = 0; taken < POINTS;) {
    bool done;
    for (; posted < POINTS && !bv_pool_full(pool); posted++)
      bv_pool_post_point(pool, (double[]){0, 0});
    ck_assert_int_eq(bv_pool_next(pool, 5000, &answer, &done, NULL), BV_OK);
    if (done)
      bv_pool_drop(pool);
    taken += done;
  }
  long slept = sleeps() - before;
  ck_assert_msg(slept > 0 && slept < POINTS / 2, "%ld times", slept);
  bv_pool_free(pool);
}
END_TEST

static bv_outcome tell_niceness(void *context, const double *x,
                                bv_buffer *reply) {
  (void) context, (void) x;
  bv_buffer_print(reply, "%d", getpriority(PRIO_PROCESS, 0));
  return BV_OUTCOME_EVALUATED;
}

/* Where processors are short workers give way to the parent, on which all of
 * them wait. */
START_TEST(workers_are_nicer_than_their_parent) {
  bv_problem problem = problem_with(NULL);
  bv_pool_options options = bv_pool_defaults();
  bv_pool *pool;
  bv_answer answer;
  bool done = false;
  options.describe = tell_niceness;
  ck_assert_int_eq(bv_pool_new(&problem, &options, &pool, NULL), BV_OK);
  bv_pool_post_point(pool, (double[]){0, 0});
  while (!done)
    ck_assert_int_eq(bv_pool_next(pool, 5000, &answer, &done, NULL), BV_OK);
  int own = getpriority(PRIO_PROCESS, 0), theirs = atoi(answer.reply);
  ck_assert_int_gt(theirs, own < 19 ? own : 18);
  bv_pool_free(pool);
}
END_TEST

START_TEST(options_out_of_range_are_refused) {
  bv_problem problem = problem_with(NULL);
  bv_pool_options options = bv_pool_defaults();
  bv_pool *pool;
  bv_error error;
  options.jobs = 0;
  ck_assert(bv_pool_new(&problem, &options, &pool, &error) == BV_BAD_DATA);
  ck_assert_str_eq(error.text, "expected 1 to 256 workers, found 0");
  options.jobs = 1;
  options.point_seconds = (double) NAN;
  ck_assert(bv_pool_new(&problem, &options, &pool, &error) == BV_BAD_DATA);
  ck_assert_ptr_null(pool);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      any_number_of_workers_gives_the_same_search,
      a_worker_that_dies_fails_its_point_alone,
      a_point_that_has_its_worker_killed_twice_fails,
      workers_killed_from_outside_change_nothing,
      a_worker_that_hangs_fails_its_point_alone,
      points_are_described_in_order,
      waiting_ends_when_time_is_over_and_clearing_goes_on,
      the_queue_fills_and_empties,
      workers_die_with_their_parent,
      the_parent_sleeps_while_workers_have_more_to_do,
      workers_are_nicer_than_their_parent,
      options_out_of_range_are_refused,
      NULL};
  return check_main("run/pool", tests);
}
