/* SPDX-License-Identifier: MIT */
/* What the search itself costs: an insertion into the archive over a million,
 * the engine an evaluation. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "base/random.h"
#include "search/archive.h"
#include "search/problems.h"
#include "search/search.h"

/* Cells out at once: at least what the search asks for. */
enum { INSERTIONS = 1000000, AHEAD = 16, ROUNDS = 3 };

static double seconds(void) {
  struct timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return (double) t.tv_sec + 1e-9 * (double) t.tv_nsec;
}

/* Points in a band near a sphere: the narrower, the fewer are dominated. */
static void draw(bv_random *random, size_t m, double band, double *f) {
  double square = 0;
  double size = 1 + band * bv_random_unit(random);
  for (size_t j = 0; j < m; j++) {
    f[j] = fabs(bv_random_normal(random));
    square += f[j] * f[j];
  }
  for (size_t j = 0; j < m; j++)
    f[j] = 2 - f[j] / sqrt(square) / size;
}

static void insert_a_million(size_t m, double band) {
  static const bv_variable one[] = {{.name = "x", .lo = 0, .hi = 1}};
  bv_problem problem = {.space = {one, 1}, .objectives = m};
  bv_yardstick yardstick = {.range = {1, 1, 1, 1, 1, 1},
                            .reference = {2, 2, 2, 2, 2, 2}};
  bv_archive archive;
  bv_random random = bv_random_keyed(1, m, 0);
  double *points = malloc(INSERTIONS * m * sizeof *points), x = 0;
  bv_archive_init(&archive, &problem);
  for (size_t i = 0; i < INSERTIONS; i++)
    draw(&random, m, band * (1.2 - (double) i / INSERTIONS), points + i * m);
  double begin = seconds();
  for (size_t i = 0; i < INSERTIONS; i++)
    bv_archive_offer(&archive, &x, points + i * m, NULL, &yardstick);
  double each = (seconds() - begin) / INSERTIONS;
  printf(
      "archive, %zu objectives: %.2f us an insertion, %zu points in the end\n",
      m, 1e6 * each, archive.count);
  bv_archive_free(&archive);
  free(points);
}

/* Processor time of planning and merging, and of what workers do. */
typedef struct split {
  double parent, workers;
} split;

/* As bv_search_run, timed. */
static split run(const bv_problem *problem, bv_search *s) {
  bv_cell cells[AHEAD] = {0};
  bv_cell_result result = {
      .records = calloc(BV_CELL_MOST * bv_record_size(problem), sizeof(double)),
      .note = calloc(BV_NOTE_MOST, sizeof(double))};
  uint64_t taken = 0, merged = 0;
  split t = {0};
  double begin = seconds();
  while (!bv_search_done(s)) {
    while (bv_search_wants(s))
      bv_search_take(s, &cells[taken++ % AHEAD]);
    bv_cell *oldest = &cells[merged++ % AHEAD];
    result.count = 0;
    double planned = seconds();
    bv_cell_run(problem, oldest, &result);
    t.workers += seconds() - planned;
    bv_search_merge(s, oldest, &result);
  }
  t.parent = seconds() - begin - t.workers;
  for (size_t i = 0; i < AHEAD; i++)
    bv_cell_free(&cells[i]);
  free(result.records);
  free(result.note);
  return t;
}

static void run_engine(const char *name, uint64_t evaluations) {
  const bv_problem *problem = &test_problem_find(name)->problem;
  bv_search_options options = bv_search_defaults();
  options.evaluations = evaluations;
  split least = {HUGE_VAL, HUGE_VAL};
  for (int i = 0; i < ROUNDS; i++) {
    bv_search *s;
    if (bv_search_new(problem, &options, &s, NULL))
      return;
    split t = run(problem, s);
    least.parent = fmin(least.parent, t.parent);
    least.workers = fmin(least.workers, t.workers);
    bv_search_free(s);
  }
  printf(
      "engine, %zu objectives, %2zu variables (%s): %.1f us an evaluation to "
      "plan and merge, %.1f us of solves and of the problem itself\n",
      problem->objectives, problem->space.count, name,
      1e6 * least.parent / (double) evaluations,
      1e6 * least.workers / (double) evaluations);
}

int main(void) {
  insert_a_million(2, 0.1);
  insert_a_million(2, 0);
  insert_a_million(3, 0.1);
  insert_a_million(3, 0.001);
  run_engine("BNH", 20000);
  run_engine("OSY", 20000);
  run_engine("ZDT1", 20000);
  run_engine("DTLZ2", 20000);
  run_engine("DTLZ2-4", 20000);
  return 0;
}
