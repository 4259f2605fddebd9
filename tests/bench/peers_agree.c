/* SPDX-License-Identifier: MIT */
#include "bench/peers_agree.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/random.h"
#include "bench/peers.h"
#include "search/archive.h"
#include "search/hypervolume.h"
#include "search/population.h"

enum { SETS = 20, POINTS = 60, OBJECTIVES_MOST = 5 };

/* Numbers of [0, 1) in steps, so that some points tie and some are equal; 0
 * steps: any. */
static void draw(bv_random *random, size_t count, double steps, double *out) {
  for (size_t i = 0; i < count; i++) {
    double unit = bv_random_unit(random);
    out[i] = steps > 0 ? floor(steps * unit) / steps : unit;
  }
}

static bool hypervolumes_agree(void) {
  const double reference[] = {1, 1, 1, 1, 1};
  bv_random random = bv_random_keyed(1, 0, 0);
  double worst = 0, points[OBJECTIVES_MOST * POINTS];
  for (size_t m = 2; m <= OBJECTIVES_MOST; m++)
    for (int k = 0; k < SETS; k++) {
      draw(&random, POINTS * m, 0, points);
      double theirs = peer_hypervolume(points, POINTS, (unsigned) m, reference);
      double ours = bv_hypervolume(points, POINTS, m, reference);
      worst = fmax(worst, fabs(ours / theirs - 1));
    }
  printf("Hypervolume beside pagmo's on 80 random sets of 2 to 5 objectives: "
         "largest relative difference %.1e.\n",
         worst);
  return worst <= 1e-10;
}

/* A problem whose only variable is a point's number. */
static bv_problem numbered(size_t objectives) {
  static const bv_variable number[] = {
      {.name = "number", .lo = 0, .hi = POINTS}};
  return (bv_problem){.space = {number, 1}, .objectives = objectives};
}

/* Points whose rank in the population is another one. */
static size_t ranks_apart(const double *points, size_t m,
                          const unsigned *ranks) {
  bv_problem problem = numbered(m);
  bv_population population;
  size_t apart = 0;
  bv_population_init(&population, &problem, POINTS);
  for (size_t i = 0; i < POINTS; i++)
    bv_population_offer(&population, &(double){(double) i}, points + i * m, 0);
  bv_population_select(&population);
  for (size_t i = 0; i < population.count; i++) {
    size_t number = (size_t) *bv_population_x(&population, i);
    apart += population.members[i].rank != ranks[number];
  }
  apart += POINTS - population.count;
  bv_population_free(&population);
  return apart;
}

/* True where a point of the first rank equals none before it. */
static bool stays(const double *points, size_t m, const unsigned *ranks,
                  size_t i) {
  bool equal = false;
  for (size_t k = 0; k < i && !equal; k++)
    equal = !memcmp(points + k * m, points + i * m, m * sizeof *points);
  return ranks[i] == 0 && !equal;
}

/* Points that the archive holds and shouldn't, or should and doesn't: of equal
 * ones it keeps the first. */
static size_t kept_apart(const double *points, size_t m,
                         const unsigned *ranks) {
  bv_problem problem = numbered(m);
  bv_archive archive;
  bv_yardstick yardstick = {.range = {1, 1, 1, 1, 1, 1}};
  bool held[POINTS] = {false};
  size_t apart = 0;
  bv_archive_init(&archive, &problem);
  for (size_t i = 0; i < POINTS; i++)
    bv_archive_offer(&archive, &(double){(double) i}, points + i * m, NULL,
                     &yardstick);
  for (size_t i = 0; i < archive.count; i++)
    held[(size_t) *bv_archive_x(&archive, archive.live[i])] = true;
  for (size_t i = 0; i < POINTS; i++)
    apart += held[i] != stays(points, m, ranks, i);
  bv_archive_free(&archive);
  return apart;
}

static bool sorts_agree(void) {
  bv_random random = bv_random_keyed(2, 0, 0);
  double points[OBJECTIVES_MOST * POINTS];
  unsigned ranks[POINTS];
  size_t ranked = 0, kept = 0, deepest = 0;
  for (size_t m = 2; m <= OBJECTIVES_MOST; m++)
    for (int k = 0; k < SETS; k++) {
      draw(&random, POINTS * m, k % 2 ? 8 : 0, points);
      peer_ranks(points, POINTS, (unsigned) m, ranks);
      ranked += ranks_apart(points, m, ranks);
      kept += kept_apart(points, m, ranks);
      for (size_t i = 0; i < POINTS; i++)
        deepest = ranks[i] > deepest ? ranks[i] : deepest;
    }
  printf(
      "Non-dominated sort beside pagmo's on 80 random sets of 2 to 5 "
      "objectives, up to %zu fronts deep: %zu points of %d in another front, "
      "%zu kept or dropped by the archive against it.\n",
      deepest + 1, ranked, 4 * SETS * POINTS, kept);
  return ranked == 0 && kept == 0;
}

bool peers_agree(void) {
  bool hypervolumes = hypervolumes_agree();
  return sorts_agree() && hypervolumes;
}
