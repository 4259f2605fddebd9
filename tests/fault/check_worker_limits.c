/* SPDX-License-Identifier: MIT */
/* What a worker may take, and what it isn't blamed for. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "check_main.h"
#include "run/pool.h"

static bv_outcome never(void *context, bv_evaluation *evaluation) {
  (void) context;
  (void) evaluation;
  return BV_OUTCOME_ERROR;
}

static const bv_variable variable = {"x", BV_SCALE_REAL, 0, 1, 0};

static const bv_problem problem = {
    .space = {&variable, 1}, .objectives = 1, .evaluate = never};

static bv_pool *pool_with(bv_describe describe, bv_pool_options options) {
  bv_pool *pool;
  bv_error error;
  options.describe = describe;
  ck_assert_msg(bv_pool_new(&problem, &options, &pool, &error) == BV_OK, "%s",
                error.text);
  return pool;
}

static bv_answer ask(bv_pool *pool) {
  bv_answer answer = {0};
  bool done = false;
  bv_pool_post_point(pool, (double[]){0.5});
  for (int i = 0; i < 1000 && !done; i++)
    ck_assert(bv_pool_next(pool, 100, &answer, &done, NULL) == BV_OK);
  ck_assert(done);
  return answer;
}

/* Takes memory until there is no more, or 4 GiB. */
static bv_outcome devour(void *context, const double *x, bv_buffer *reply) {
  enum { CHUNK = 16 << 20, CHUNKS = 256 };
  (void) context;
  (void) x;
  int taken = 0;
  for (void *chunk; taken < CHUNKS && (chunk = malloc(CHUNK)); taken++)
    memset(chunk, 1, CHUNK);
  bv_buffer_print(reply, "%d", taken * (CHUNK >> 20));
  return BV_OUTCOME_MEMORY;
}

START_TEST(memory_of_a_worker_has_an_end) {
#ifdef __SANITIZE_ADDRESS__
  return; /* no limit under the sanitizer, see worker.c */
#endif
  if (check_slowness() > 1)
    return; /* valgrind itself would not fit */
  bv_pool_options options = bv_pool_defaults();
  options.memory_most = (size_t) 512 << 20;
  bv_pool *pool = pool_with(devour, options);
  bv_answer answer = ask(pool);
  ck_assert_int_eq(answer.outcome, BV_OUTCOME_MEMORY);
  int megabytes = atoi(answer.reply);
  ck_assert_msg(megabytes > 100 && megabytes < 512, "%d MiB", megabytes);
  bv_pool_free(pool);
}
END_TEST

static bv_outcome fault(void *context, const double *x, bv_buffer *reply) {
  (void) context;
  (void) x;
  (void) reply;
  raise(SIGSEGV);
  abort();
}

START_TEST(a_fault_is_a_crash_and_the_next_point_goes_on) {
  bv_pool *pool = pool_with(fault, bv_pool_defaults());
  for (size_t i = 1; i <= 20; i++) {
    ck_assert_int_eq(ask(pool).outcome, BV_OUTCOME_CRASH);
    bv_pool_drop(pool);
  }
  ck_assert_uint_ge(bv_pool_replaced(pool), 20);
  bv_pool_free(pool);
}
END_TEST

static bv_outcome get_pid(void *context, const double *x, bv_buffer *reply) {
  (void) context;
  (void) x;
  bv_buffer_print(reply, "%d", (int) getpid());
  return BV_OUTCOME_EVALUATED;
}

START_TEST(an_idle_worker_that_is_killed_is_replaced) {
  bv_pool *pool = pool_with(get_pid, bv_pool_defaults());
  pid_t first = (pid_t) atoi(ask(pool).reply);
  bv_pool_drop(pool);
  kill(first, SIGKILL);
  bv_answer answer = ask(pool);
  ck_assert_int_eq(answer.outcome, BV_OUTCOME_EVALUATED);
  ck_assert_int_ne(atoi(answer.reply), first);
  bv_pool_free(pool);
}
END_TEST

START_TEST(workers_leave_signals_to_the_parent) {
  static const int signals[] = {SIGINT, SIGTERM, SIGHUP, SIGUSR1};
  bv_pool *pool = pool_with(get_pid, bv_pool_defaults());
  pid_t worker = (pid_t) atoi(ask(pool).reply);
  bv_pool_drop(pool);
  for (size_t i = 0; i < sizeof signals / sizeof *signals; i++)
    kill(worker, signals[i]);
  ck_assert_int_eq(atoi(ask(pool).reply), worker);
  ck_assert_uint_eq(bv_pool_replaced(pool), 0);
  bv_pool_free(pool);
}
END_TEST

static int badness(void) {
  int score = 0;
  FILE *file = fopen("/proc/self/oom_score_adj", "r");
  if (!file)
    return 0;
  int read = fscanf(file, "%d", &score);
  fclose(file);
  return read == 1 ? score : 0;
}

static bv_outcome tell_badness(void *context, const double *x,
                               bv_buffer *reply) {
  (void) context;
  (void) x;
  bv_buffer_print(reply, "%d", badness());
  return BV_OUTCOME_EVALUATED;
}

START_TEST(a_system_short_of_memory_ends_workers_first) {
  if (badness() >= 300 || access("/proc/self/oom_score_adj", W_OK) != 0)
    return;
  bv_pool *pool = pool_with(tell_badness, bv_pool_defaults());
  ck_assert_int_gt(atoi(ask(pool).reply), badness());
  bv_pool_free(pool);
}
END_TEST

/* Works for 0.2 s of processor time, whatever the clock on the wall says. */
static bv_outcome work(void *context, const double *x, bv_buffer *reply) {
  (void) context;
  (void) x;
  (void) reply;
  clock_t end = clock() + CLOCKS_PER_SEC / 5;
  while (clock() < end)
    continue;
  return BV_OUTCOME_EVALUATED;
}

/* In a process group of its own, like a job in a shell. */
static void work_in_group(void) {
  setpgid(0, 0);
  bv_pool_options options = bv_pool_defaults();
  options.point_seconds = 2 * check_slowness();
  bv_pool *pool = pool_with(work, options);
  bv_outcome outcome = ask(pool).outcome;
  bv_pool_free(pool);
  _exit((int) outcome);
}

START_TEST(a_run_that_was_stopped_and_goes_on_blames_nobody) {
  pid_t group = fork();
  if (group == 0)
    work_in_group();
  setpgid(group, group);
  usleep(60000);
  ck_assert(kill(-group, SIGSTOP) == 0);
  usleep(2500000);
  ck_assert(kill(-group, SIGCONT) == 0);
  int status;
  ck_assert(waitpid(group, &status, 0) == group && WIFEXITED(status));
  ck_assert_int_eq(WEXITSTATUS(status), BV_OUTCOME_EVALUATED);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      memory_of_a_worker_has_an_end,
      a_fault_is_a_crash_and_the_next_point_goes_on,
      an_idle_worker_that_is_killed_is_replaced,
      workers_leave_signals_to_the_parent,
      a_system_short_of_memory_ends_workers_first,
      a_run_that_was_stopped_and_goes_on_blames_nobody,
      NULL};
  return check_main("fault/worker_limits", tests);
}
