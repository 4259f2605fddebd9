/* SPDX-License-Identifier: MIT */
/* What an overnight sweep sees: what its diary costs, as a search's time with
 * it over the same without, as the share of keeping in processor time and in
 * time, checkpoints on the disk included, and in bytes; and the rate of two
 * workers over that of one, beside what two processes that know nothing of each
 * other reach on this machine. What is compared runs in turns and the median of
 * the turns' ratios counts, so that other work on the machine hits both alike.
 */
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/file.h"
#include "bench/rounds.h"
#include "run/clock.h"
#include "run/diary.h"
#include "run/drive.h"

/* Long enough that a search's start and end don't count, and that a sync is
 * rested for (run/diary.c). */
enum { EVALUATIONS = 120000, HEAVY = 7000, ROUNDS = 5 };

/* A keeper around a diary's that takes the time. */
typedef struct watch {
  const bv_keeper *inner;
  double processor, seconds; /* s */
} watch;

static double clock_of(clockid_t id) {
  struct timespec time;
  clock_gettime(id, &time);
  return (double) time.tv_sec + 1e-9 * (double) time.tv_nsec;
}

static double seconds_of(struct timeval time) {
  return (double) time.tv_sec + 1e-6 * (double) time.tv_usec;
}

/* Processor time of this process and the workers that ended. */
static double processor_time(void) {
  struct rusage self, children;
  getrusage(RUSAGE_SELF, &self);
  getrusage(RUSAGE_CHILDREN, &children);
  return seconds_of(self.ru_utime) + seconds_of(self.ru_stime) +
         seconds_of(children.ru_utime) + seconds_of(children.ru_stime);
}

static bv_status recall(void *context, const bv_cell *cell,
                        bv_cell_result *result, bool *known, bv_error *error) {
  const watch *w = context;
  return w->inner->recall(w->inner->context, cell, result, known, error);
}

static bv_status keep(void *context, const bv_cell *cell,
                      const bv_cell_result *result, bv_error *error) {
  watch *w = context;
  double begun = bv_clock(), used = clock_of(CLOCK_PROCESS_CPUTIME_ID);
  bv_status status = w->inner->keep(w->inner->context, cell, result, error);
  used = clock_of(CLOCK_PROCESS_CPUTIME_ID) - used;
  w->processor += used;
  w->seconds += bv_clock() - begun;
  return status;
}

/* A case whose points take about half a millisecond each. Its objectives go in
 * steps, for a front of few points: the last evaluation of each is no part of
 * the rate. */
static const char heavy[] =
    "local space = require 'brimvolt.space'\n"
    "local function step(v) return math.floor(20 * v) / 20 end\n"
    "return { variables = { a = space.real(0, 1), b = space.real(0, 1) },\n"
    "  evaluate = function(x)\n"
    "    for _ = 1, 100000 do end\n"
    "    return { f = step(x.a + x.b ^ 2), g = step((1 - x.a) ^ 2 + x.b) }\n"
    "  end, minimise = { 'f', 'g' } }\n";

static void must(bv_status status, const bv_error *error) {
  if (status == BV_OK)
    return;
  fprintf(stderr, "%s\n", error->text);
  exit(EXIT_FAILURE);
}

static bv_study *open_study(const char *root, const char *path) {
  char library[PATH_MAX];
  bv_error error;
  bv_study *study;
  bv_study_options options = bv_study_defaults();
  snprintf(library, sizeof library, "%s/lib", root);
  options.library = library;
  must(bv_study_open(path, &options, &study, &error), &error);
  return study;
}

/* One search; gives its seconds. */
static double search(bv_study *study, uint64_t evaluations, size_t jobs,
                     const bv_keeper *keeper) {
  bv_error error;
  bv_drive_result result;
  bv_drive_options options = bv_drive_defaults();
  options.search.evaluations = evaluations;
  options.jobs = jobs;
  options.quiet = true;
  options.keeper = keeper;
  must(bv_drive(study, &options, &result, &error), &error);
  bv_drive_free(&result);
  return result.seconds;
}

static void print(const char *what, double value, const char *unit) {
  printf("%-44s %21.2f %s\n", what, value, unit);
}

/* What keeping a diary takes. */
typedef struct cost {
  double processor, seconds; /* %, of the search's */
  double bytes;              /* an evaluation */
  double elapsed;            /* s, of the search and of opening and closing */
} cost;

static cost keep_once(bv_study *study, const char *path) {
  bv_diary *diary;
  bv_error error;
  struct stat about;
  unlink(path);
  double begun = bv_clock();
  must(bv_diary_open(path, "bench", bv_study_problem(study), 2, &diary, &error),
       &error);
  watch w = {.inner = bv_diary_keeper(diary)};
  bv_keeper keeper = {recall, keep, &w};
  double used = processor_time();
  double seconds = search(study, EVALUATIONS, 2, &keeper);
  used = processor_time() - used;
  must(bv_diary_sync(diary, &error), &error);
  bv_diary_close(diary);
  double elapsed = bv_clock() - begun;
  double bytes = stat(path, &about) == 0 ? (double) about.st_size : 0;
  return (cost){100 * w.processor / used, 100 * w.seconds / seconds,
                bytes / EVALUATIONS, elapsed};
}

static double leave_out(bv_study *study) {
  double begun = bv_clock();
  search(study, EVALUATIONS, 2, NULL);
  return bv_clock() - begun;
}

static void measure_diary(const char *root, const char *path) {
  char script[PATH_MAX];
  double more[ROUNDS], processor[ROUNDS], seconds[ROUNDS];
  cost with = {0};
  snprintf(script, sizeof script, "%s/scripts/09-sweep-target.lua", root);
  bv_study *study = open_study(root, script);
  bv_study_choose_case(study, 2);
  for (int i = 0; i < ROUNDS; i++) {
    double without = i % 2 ? leave_out(study) : 0;
    with = keep_once(study, path);
    without = i % 2 ? without : leave_out(study);
    more[i] = 100 * (with.elapsed / without - 1);
    processor[i] = with.processor;
    seconds[i] = with.seconds;
  }
  print_rounds("a search with a sweep's diary takes longer by", more, ROUNDS,
               "% (target: below 2 %)");
  print_rounds("  keeping it, of processor time", processor, ROUNDS,
               "% (target: below 2 %)");
  print_rounds("  of the time that passed, disk included", seconds, ROUNDS,
               "%");
  print("  bytes an evaluation", with.bytes, "");
  print("  a search of these", with.elapsed, "s");
  bv_study_close(study);
}

static double heavy_seconds(bv_study *study, size_t jobs) {
  double begun = bv_clock();
  search(study, HEAVY, jobs, NULL);
  return bv_clock() - begun;
}

/* Two searches of one worker side by side: seconds until both are over. */
static double side_by_side(bv_study *study) {
  double begun = bv_clock();
  int ended = 0;
  pid_t other = fork();
  if (other == 0) {
    search(study, HEAVY, 1, NULL);
    _exit(EXIT_SUCCESS);
  }
  search(study, HEAVY, 1, NULL);
  if (other < 0 || waitpid(other, &ended, 0) < 0 || ended != 0) {
    fprintf(stderr, "cannot search in two processes\n");
    exit(EXIT_FAILURE);
  }
  return bv_clock() - begun;
}

static void measure_jobs(const char *root, const char *path) {
  bv_error error;
  double gain[ROUNDS], ceiling[ROUNDS], reached[ROUNDS], alone[ROUNDS];
  must(bv_file_replace(path, heavy, strlen(heavy), &error), &error);
  bv_study *study = open_study(root, path);
  for (int i = 0; i < ROUNDS; i++) {
    double one = heavy_seconds(study, 1), two = heavy_seconds(study, 2);
    double both = side_by_side(study);
    gain[i] = one / two;
    ceiling[i] = 2 * one / both;
    reached[i] = 100 * gain[i] / ceiling[i];
    alone[i] = 1e3 * one / HEAVY;
  }
  print_rounds("rate of two workers over one, heavy points", gain, ROUNDS,
               "(target: at least 1.9)");
  print_rounds("  of two processes side by side over one", ceiling, ROUNDS, "");
  print_rounds("  two workers reach of these", reached, ROUNDS, "%");
  print_rounds("  a point", alone, ROUNDS, "ms");
  bv_study_close(study);
}

int main(void) {
  const char *root = getenv("ROOT");
  char path[] = "/tmp/brimvolt-bench-XXXXXX";
  close(mkstemp(path));
  measure_diary(root ? root : ".", path);
  measure_jobs(root ? root : ".", path);
  unlink(path);
  return EXIT_SUCCESS;
}
