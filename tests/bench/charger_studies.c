/* SPDX-License-Identifier: MIT */
#include "bench/charger_studies.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "search/archive.h"
#include "search/hypervolume.h"
#include "search/search.h"

const char *const charger_study_paths[CHARGER_STUDIES] = {
    "scripts/01-harbour-beacon.lua",
    "scripts/02-lake-sparker.lua",
    "scripts/03-pulsed-light-steriliser.lua",
};

/* The long runs, with seeds that no other bench uses. */
enum { RUNS = 2, RUN_EVALUATIONS = 2000000, FIRST_SEED = 500000 };

/* The reference point stands this much of the front's extent beyond it. */
#define MARGIN 0.1

static const bv_problem *problem_of(const charger_study *s) {
  return bv_study_problem(s->study);
}

static size_t row_length(const charger_study *s) {
  return problem_of(s)->space.count + problem_of(s)->objectives;
}

static bv_study *open_study(const char *path) {
  bv_study_options options = bv_study_defaults();
  bv_study *study;
  bv_error error;
  options.library = "lib";
  if (bv_study_open(path, &options, &study, &error) != BV_OK) {
    fprintf(stderr, "%s\n", error.text);
    exit(EXIT_FAILURE);
  }
  return study;
}

/* Adds a run's front to the archive. */
static void add_run(const bv_problem *p, uint64_t seed, bv_archive *archive) {
  const bv_yardstick yardstick = {.range = {1, 1, 1, 1, 1, 1}};
  bv_search_options options = bv_search_defaults();
  bv_search *search;
  bv_error error;
  options.seed = seed;
  options.evaluations = RUN_EVALUATIONS;
  if (bv_search_new(p, &options, &search, &error) != BV_OK) {
    fprintf(stderr, "%s\n", error.text);
    exit(EXIT_FAILURE);
  }
  bv_search_run(search);
  size_t count = bv_search_counts(search).front;
  for (size_t i = 0; i < count; i++) {
    bv_point point = bv_search_front(search, i);
    bv_archive_offer(archive, point.x, point.objectives, point.limits,
                     &yardstick);
  }
  bv_search_free(search);
}

static void search_long(charger_study *s) {
  const bv_problem *p = problem_of(s);
  size_t n = p->space.count, m = p->objectives, length = row_length(s);
  bv_archive archive;
  bv_archive_init(&archive, p);
  for (uint64_t run = 0; run < RUNS; run++)
    add_run(p, FIRST_SEED + run, &archive);
  s->count = archive.count;
  s->front = calloc(s->count * length + 1, sizeof *s->front);
  for (size_t i = 0; i < s->count; i++) {
    size_t slot = archive.live[i];
    double *row = s->front + i * length;
    memcpy(row, bv_archive_x(&archive, slot), n * sizeof *row);
    memcpy(row + n, bv_archive_objectives(&archive, slot), m * sizeof *row);
  }
  bv_archive_free(&archive);
}

/* True where a row's point still gives its objectives. */
static bool holds(const charger_study *s, const double *row) {
  const bv_problem *p = problem_of(s);
  double objectives[BV_OBJECTIVES_MOST], limits[BV_LIMITS_MOST];
  bv_evaluation e = {.x = row, .objectives = objectives, .limits = limits};
  return p->evaluate(p->context, &e) == BV_OUTCOME_EVALUATED &&
         !memcmp(objectives, row + p->space.count,
                 p->objectives * sizeof *objectives);
}

/* The kept front: the study's digest and the count, then the rows. */
static bool read_front(charger_study *s, FILE *file) {
  char digest[65];
  size_t length = row_length(s);
  if (fscanf(file, "%64s %zu", digest, &s->count) != 2 ||
      strcmp(digest, bv_study_digest(s->study)) || s->count > 1000000)
    return false;
  s->front = calloc(s->count * length + 1, sizeof *s->front);
  for (size_t i = 0; i < s->count * length; i++)
    if (fscanf(file, "%lf", &s->front[i]) != 1)
      return false;
  for (size_t i = 0; i < s->count; i++)
    if (!holds(s, s->front + i * length))
      return false;
  return true;
}

static void write_front(const charger_study *s, FILE *file) {
  size_t length = row_length(s);
  fprintf(file, "%s %zu\n", bv_study_digest(s->study), s->count);
  for (size_t i = 0; i < s->count * length; i++)
    fprintf(file, "%.17g%c", s->front[i], (i + 1) % length ? ' ' : '\n');
}

static void recall_front(charger_study *s, const char *path) {
  FILE *file = fopen(path, "r");
  bool kept = file && read_front(s, file);
  if (file)
    fclose(file);
  if (kept)
    return;
  free(s->front);
  search_long(s);
  file = fopen(path, "w");
  if (file)
    write_front(s, file);
  if (!file || fclose(file) != 0)
    perror(path);
}

static void measure(charger_study *s) {
  const bv_problem *p = problem_of(s);
  size_t n = p->space.count, m = p->objectives;
  double *points = calloc(s->count * m + 1, sizeof *points);
  for (size_t i = 0; i < s->count; i++)
    memcpy(points + i * m, s->front + i * row_length(s) + n,
           m * sizeof *points);
  for (size_t j = 0; j < m; j++) {
    double best = HUGE_VAL, worst = -HUGE_VAL;
    for (size_t i = 0; i < s->count; i++) {
      best = fmin(best, points[i * m + j]);
      worst = fmax(worst, points[i * m + j]);
    }
    s->problem.reference[j] = worst + MARGIN * (worst - best);
  }
  s->problem.volume = bv_hypervolume(points, s->count, m, s->problem.reference);
  free(points);
}

charger_study charger_study_open(size_t i, const char *cache) {
  charger_study s = {.study = open_study(charger_study_paths[i])};
  const char *name = strrchr(charger_study_paths[i], '/') + 1;
  char path[4096];
  snprintf(path, sizeof path, "%s/%.2s.front", cache, name);
  s.problem.name = name;
  s.problem.source = "scripts/";
  s.problem.problem = *problem_of(&s);
  recall_front(&s, path);
  measure(&s);
  return s;
}

void charger_study_close(charger_study *s) {
  bv_study_close(s->study);
  free(s->front);
  *s = (charger_study){0};
}
