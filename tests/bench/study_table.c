/* SPDX-License-Identifier: MIT */
/* The search on our own charger studies: the share of the best known front's
 * hypervolume after 20 000 evaluations, seed by seed, and the seconds with two
 * jobs, as a Markdown table. Usage: study_table FOLDER [SEEDS [STUDY]] */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench/charger_studies.h"
#include "run/clock.h"
#include "run/drive.h"
#include "search/front_volume.h"
#include "search/search.h"

enum { SEEDS_MOST = 101 };

/* Shares below this are too low. */
#define SHARE_LEAST 0.995

static double share(const charger_study *c, uint64_t seed) {
  bv_search_options options = bv_search_defaults();
  bv_search *s;
  bv_error error;
  options.seed = seed;
  if (bv_search_new(&c->problem.problem, &options, &s, &error)) {
    fprintf(stderr, "%s: %s\n", c->problem.name, error.text);
    exit(EXIT_FAILURE);
  }
  bv_search_run(s);
  double volume = front_volume(s, &c->problem) / c->problem.volume;
  bv_search_free(s);
  return volume;
}

/* Seconds a study takes with two jobs, its rows verified. */
static double seconds(const charger_study *c) {
  bv_drive_options options = bv_drive_defaults();
  bv_drive_result result;
  bv_error error;
  options.jobs = 2;
  options.quiet = true;
  double begin = bv_clock();
  if (bv_drive(c->study, &options, &result, &error) != BV_OK) {
    fprintf(stderr, "%s: %s\n", c->problem.name, error.text);
    exit(EXIT_FAILURE);
  }
  double taken = bv_clock() - begin;
  bv_drive_free(&result);
  return taken;
}

static int rising(const void *a, const void *b) {
  double x = *(const double *) a, y = *(const double *) b;
  return (x > y) - (x < y);
}

static void print_row(const charger_study *c, size_t seeds) {
  double shares[SEEDS_MOST];
  size_t low = 0;
  for (size_t k = 0; k < seeds; k++) {
    shares[k] = share(c, k + 1);
    low += shares[k] < SHARE_LEAST;
    fprintf(stderr, "%s, seed %zu: %.5f\n", c->problem.name, k + 1, shares[k]);
  }
  qsort(shares, seeds, sizeof *shares, rising);
  printf("| %s | %zu | %.4f | %.4f | %zu of %zu | %.1f |\n", c->problem.name,
         c->count, shares[seeds / 2], shares[0], low, seeds, seconds(c));
  fflush(stdout);
}

int main(int argc, char **argv) {
  size_t seeds = argc > 2 ? strtoul(argv[2], NULL, 10) : 11;
  if (argc < 2 || seeds < 1 || seeds > SEEDS_MOST) {
    fprintf(stderr, "usage: %s FOLDER [SEEDS (1 … %d) [STUDY]]\n", argv[0],
            SEEDS_MOST);
    return 64;
  }
  printf("\nCharger studies, 20 000 evaluations: share of the long runs' "
         "hypervolume\n\n"
         "| study | best known front | median | worst seed | below %g | "
         "seconds, 2 jobs |\n|---|---|---|---|---|---|\n",
         SHARE_LEAST);
  for (size_t i = 0; i < CHARGER_STUDIES; i++) {
    if (argc > 3 && !strstr(charger_study_paths[i], argv[3]))
      continue;
    charger_study c = charger_study_open(i, argv[1]);
    print_row(&c, seeds);
    charger_study_close(&c);
  }
  return 0;
}
