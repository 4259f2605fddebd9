/* SPDX-License-Identifier: MIT */
/* A search that a signal cut goes on from its diary to where one that wasn't
 * cut ends. */
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "check_main.h"
#include "run/diary.h"
#include "run/interrupt.h"
#include "temporary.h"

enum { CUT_AFTER = 20, EVALUATIONS = 1500, FRONT_MOST = 2000 };

static bv_outcome evaluate(void *context, bv_evaluation *evaluation) {
  (void) context;
  double a = evaluation->x[0], b = evaluation->x[1];
  evaluation->objectives[0] = a + b * b;
  evaluation->objectives[1] = (1 - a) * (1 - a) + b;
  return BV_OUTCOME_EVALUATED;
}

static const bv_variable variables[] = {{"a", BV_SCALE_REAL, 0, 1, 0},
                                        {"b", BV_SCALE_REAL, 0, 1, 0}};
static const bv_problem problem = {
    .space = {variables, 2}, .objectives = 2, .evaluate = evaluate};

typedef struct outcome {
  bv_status status;
  uint64_t cells, evaluations;
  size_t front;
  double points[FRONT_MOST];
} outcome;

static bv_verdict cut(void *context, const bv_search *search, double seconds) {
  (void) context;
  (void) seconds;
  if (bv_search_counts(search).cells == CUT_AFTER)
    raise(SIGTERM);
  return BV_GO_ON;
}

/* Steers a search with the diary at path, to its end or to a signal. */
static outcome steer(const char *path, bool is_cut) {
  static outcome o;
  bv_error error;
  bv_search *search;
  bv_pool *pool;
  bv_diary *diary;
  bv_search_options options = bv_search_defaults();
  bv_pool_options workers = bv_pool_defaults();
  options.evaluations = EVALUATIONS;
  ck_assert(bv_search_new(&problem, &options, &search, &error) == BV_OK);
  ck_assert(bv_pool_new(&problem, &workers, &pool, &error) == BV_OK);
  ck_assert(bv_diary_open(path, "two curves", &problem, 0, &diary, &error) ==
            BV_OK);
  bv_steering steering = {.seconds = HUGE_VAL,
                          .look = is_cut ? cut : NULL,
                          .keeper = bv_diary_keeper(diary)};
  o.status = bv_steer(search, pool, &steering, &error);
  bv_search_state state = bv_search_counts(search);
  o.cells = state.cells;
  o.evaluations = state.evaluations;
  o.front = state.front;
  for (size_t i = 0; i < o.front && 2 * i + 1 < FRONT_MOST; i++)
    memcpy(&o.points[2 * i], bv_search_front(search, i).objectives,
           2 * sizeof(double));
  bv_diary_close(diary);
  bv_pool_free(pool);
  bv_search_free(search);
  return o;
}

/* In a child, for a signal is remembered; tells how many cells it merged. */
static uint64_t steer_and_cut(const char *path) {
  int ends[2];
  uint64_t cells = 0;
  ck_assert_int_eq(pipe(ends), 0);
  pid_t pid = fork();
  if (pid == 0) {
    bv_interrupt_mind(true);
    outcome o = steer(path, true);
    if (o.status != BV_TERMINATED)
      o.cells = 0;
    _exit(write(ends[1], &o.cells, sizeof o.cells) != sizeof o.cells);
  }
  ck_assert_int_eq(read(ends[0], &cells, sizeof cells), sizeof cells);
  waitpid(pid, NULL, 0);
  close(ends[0]);
  close(ends[1]);
  return cells;
}

static uint64_t cells_kept(const char *path) {
  bv_buffer text;
  bv_error error;
  uint64_t kept = 0;
  ck_assert(bv_file_read(path, 1 << 24, &text, &error) == BV_OK);
  for (const char *at = text.text; (at = strstr(at, " cell ")); at++)
    kept++;
  bv_buffer_free(&text);
  return kept;
}

START_TEST(a_cut_search_goes_on_from_its_diary) {
  const char *folder = temporary_make();
  char *whole = temporary_path(folder, "whole");
  char *path = temporary_path(folder, "cut");
  outcome uncut = steer(whole, false);
  uint64_t merged = steer_and_cut(path), kept = cells_kept(path);
  ck_assert_uint_ge(kept, CUT_AFTER);
  ck_assert_uint_eq(kept, merged);
  ck_assert_uint_lt(kept, uncut.cells);
  outcome gone_on = steer(path, false);
  ck_assert(uncut.status == BV_OK && gone_on.status == BV_OK);
  ck_assert_uint_eq(gone_on.cells, uncut.cells);
  ck_assert_uint_eq(gone_on.evaluations, uncut.evaluations);
  ck_assert_uint_eq(gone_on.front, uncut.front);
  ck_assert_uint_gt(uncut.front, 20);
  ck_assert_mem_eq(gone_on.points, uncut.points, sizeof uncut.points);
  free(whole);
  free(path);
  temporary_remove(folder);
}
END_TEST

START_TEST(a_diary_of_another_search_is_begun_anew_or_refused) {
  const char *folder = temporary_make();
  char *path = temporary_path(folder, "diary");
  bv_error error;
  bv_diary *diary;
  bv_cell cell = {.number = 0, .most = 20};
  bv_cell_result result = {.records = calloc(1 << 16, sizeof(double)),
                           .note = calloc(BV_NOTE_MOST, sizeof(double))};
  bool known;
  ck_assert_uint_gt(steer_and_cut(path), 0);
  /* The same title, another cell: the search isn't the one that was kept. */
  ck_assert(bv_diary_open(path, "two curves", &problem, 0, &diary, &error) ==
            BV_OK);
  const bv_keeper *keeper = bv_diary_keeper(diary);
  ck_assert(keeper->recall(keeper->context, &cell, &result, &known, &error) ==
            BV_INTERNAL);
  bv_diary_close(diary);
  /* Another title: nothing is known. */
  ck_assert(bv_diary_open(path, "others", &problem, 0, &diary, &error) ==
            BV_OK);
  keeper = bv_diary_keeper(diary);
  ck_assert(keeper->recall(keeper->context, &cell, &result, &known, &error) ==
            BV_OK);
  ck_assert(!known);
  bv_diary_close(diary);
  free(result.records);
  free(result.note);
  free(path);
  temporary_remove(folder);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      a_cut_search_goes_on_from_its_diary,
      a_diary_of_another_search_is_begun_anew_or_refused, NULL};
  return check_main("replay", tests);
}
