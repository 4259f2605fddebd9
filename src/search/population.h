/* SPDX-License-Identifier: MIT */
/* A small population that keeps what the archive can't: infeasible points on
 * the way to feasible ones, and more than one basin. Selection by constraint
 * domination, rank and crowding (K. Deb, A. Pratap, S. Agarwal, T. Meyarivan,
 * "A fast and elitist multiobjective genetic algorithm: NSGA-II", IEEE Trans.
 * Evol. Comput. 6(2), 2002). */
#ifndef BV_SEARCH_POPULATION_H
#define BV_SEARCH_POPULATION_H

#include "base/random.h"
#include "search/problem.h"

typedef struct bv_member {
  double violation; /* sum of limits broken */
  double crowding;
  size_t rank; /* 0: dominated by none */
  bool has_units;
  uint32_t by_first; /* where it stood by the first objective, when selected */
  size_t row;
} bv_member;

typedef struct bv_population {
  const bv_problem *problem;
  size_t size; /* members after a selection */
  size_t count, room;
  size_t selected; /* members of the last selection that all are there still */
  bv_member *members;
  double *rows; /* x, objectives, x in units once these are asked for */
} bv_population;

void bv_population_init(bv_population *population, const bv_problem *problem,
                        size_t size);
void bv_population_free(bv_population *population);

/* Adds an evaluated point; it may be gone after the next selection. */
void bv_population_offer(bv_population *population, const double *x,
                         const double *objectives, double violation);

/* Cuts the population back to its size. */
void bv_population_select(bv_population *population);

/* Above 0 where what is offered is at least as good as member i by constraint
 * domination, below 0 where it is worse, 0 where neither is better. */
int bv_population_compare(const bv_population *population, size_t i,
                          const double *objectives, double violation);

/* Puts an evaluated point in the place of member i. */
void bv_population_replace(bv_population *population, size_t i, const double *x,
                           const double *objectives, double violation);

/* Cuts it back only where it has grown beyond its size. */
void bv_population_trim(bv_population *population);

/* Forgets every member. */
void bv_population_clear(bv_population *population);

/* The x, the same in units, and the objectives of a member, i < count. */
const double *bv_population_x(const bv_population *population, size_t i);
const double *bv_population_units(const bv_population *population, size_t i);
const double *bv_population_objectives(const bv_population *population,
                                       size_t i);

/* The better of two random members. */
size_t bv_population_tournament(const bv_population *population,
                                bv_random *random);

#endif
