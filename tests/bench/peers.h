/* SPDX-License-Identifier: MIT */
/* The general-purpose evolutionary algorithms that the bench compares with,
 * from pagmo (F. Biscani, D. Izzo, "A parallel global multiobjective framework
 * for optimization: pagmo", JOSS 5(53), 2020). */
#ifndef BV_TESTS_BENCH_PEERS_H
#define BV_TESTS_BENCH_PEERS_H

#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* What a peer sees: numbers between bounds, and a function that evaluates them.
 * Limits come after the objectives, 0 or less is met. */
typedef struct peer_problem {
  const double *lo, *hi;
  unsigned variables, objectives, limits;
  void (*evaluate)(void *context, const double *x, double *results);
  void *context;
} peer_problem;

extern const char *const peer_names[];
extern const unsigned peer_count;

/* True where a peer can work on a problem. */
int peer_suits(unsigned peer, const peer_problem *problem);

/* Runs a peer with population 100 and its own default settings for at most so
 * many evaluations. */
void peer_run(unsigned peer, const peer_problem *problem, uint64_t evaluations,
              unsigned seed);

/* pagmo's own exact hypervolume of count points. */
double peer_hypervolume(const double *points, unsigned count,
                        unsigned objectives, const double *reference);

/* pagmo's non-dominated sort: the front of each point, 0 the best. */
void peer_ranks(const double *points, unsigned count, unsigned objectives,
                unsigned *ranks);

#ifdef __cplusplus
}
#endif

#endif
