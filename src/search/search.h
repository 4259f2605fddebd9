/* SPDX-License-Identifier: MIT */
/* The search: plans cells of work, merges their results, keeps the archive.
 *
 * A cell is a piece of work for one worker: a few evaluations chosen by one
 * operator, or one local solve. A driver takes cells, runs them (here or in
 * worker processes) and merges the results in the order in which the cells were
 * taken. A cell is planned from the results merged so far, and at most
 * `cells_ahead` cells are out at once, so the run is the same whatever the
 * number of workers:
 *
 *   while (bv_search_wants(s))            plan:  bv_search_take(s, cell)
 *   run each cell                         run:   bv_cell_run(problem, cell, …)
 *   oldest cell not merged is done        merge: bv_search_merge(s, cell, …)
 *
 * bv_search_run does this in one process. */
#ifndef BV_SEARCH_SEARCH_H
#define BV_SEARCH_SEARCH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "search/cell.h"
#include "search/failures.h"
#include "search/problem.h"

/* Why a search ended: X(code, word). */
#define BV_STOP_MAP(X)                                                         \
  X(RUNNING, "running")                                                        \
  X(EVALUATIONS, "evaluations")                                                \
  X(SECONDS, "seconds")                                                        \
  X(STAGNATION, "stagnation")                                                  \
  X(TARGET, "target")                                                          \
  X(EXHAUSTED, "exhausted")                                                    \
  X(ASKED, "asked")

typedef enum bv_stop {
#define BV_STOP_ENUM(code, word) BV_STOP_##code,
  BV_STOP_MAP(BV_STOP_ENUM)
#undef BV_STOP_ENUM
      BV_STOP_COUNT
} bv_stop;

const char *bv_stop_word(bv_stop stop);

typedef struct bv_search_options {
  uint64_t seed;
  uint64_t evaluations;      /* budget, >= 1 */
  double hypervolume_target; /* stop when reached; INFINITY: never */
  uint64_t stagnation;  /* evaluations without gain that end it; 0: never */
  const double *starts; /* start_count points evaluated first, or NULL */
  size_t start_count;
  const double *reference; /* of the hypervolume, one number an objective;
                              NULL: a tenth of the front's extent beyond its
                              worst values, so it moves with the front */
} bv_search_options;

/* Evaluations 20 000, seed 1, no target, no stagnation stop, no starts, no
 * reference. */
bv_search_options bv_search_defaults(void);

typedef struct bv_search bv_search;

/* Makes a search of a problem, whose space and arrays must outlive it;
 * *search is NULL on failure. BV_BAD_DATA: a variable's range, a count or a
 * budget is out of bounds (error tells). */
bv_status bv_search_new(const bv_problem *problem,
                        const bv_search_options *options, bv_search **search,
                        bv_error *error);
void bv_search_free(bv_search *search); /* NULL is allowed */

/* True where a further cell may be taken now. */
bool bv_search_wants(const bv_search *search);

/* Plans the next cell into *cell. Call only where bv_search_wants. */
void bv_search_take(bv_search *search, bv_cell *cell);

/* Takes in the result of the oldest cell that isn't merged yet. */
void bv_search_merge(bv_search *search, const bv_cell *cell,
                     const bv_cell_result *result);

/* Ends the search early: no further cell is wanted. Cells already out may
 * still be merged. */
void bv_search_stop(bv_search *search, bv_stop why);

/* True where no cell is wanted any more and all taken ones are merged. */
bool bv_search_done(const bv_search *search);

/* Where a search stands; counts are of merged cells. */
typedef struct bv_search_state {
  bv_stop stop;
  uint64_t cells, evaluations, feasible;
  uint64_t outcomes[BV_OUTCOME_COUNT];
  size_t front;       /* points on the front, exact ones only */
  double hypervolume; /* of the front, against the reference point */
  bool is_estimate;   /* that is (hypervolume.h) */
  double reference[BV_OBJECTIVES_MOST];
} bv_search_state;

bv_search_state bv_search_look(const bv_search *search);

/* The same without hypervolume and reference, which cost time: those are 0. */
bv_search_state bv_search_counts(const bv_search *search);

/* A point that was evaluated. */
typedef struct bv_point {
  const double *x, *objectives, *limits;
  double violation; /* largest scaled violation, 0 where feasible */
} bv_point;

/* The i-th point of the front, i < bv_search_look().front, in rising order of
 * the objectives (first, then second, …); valid until the next merge. */
bv_point bv_search_front(const bv_search *search, size_t i);

/* The i-th least violating point seen, i < count of what is kept (up to 10,
 * exact or not): for telling why nothing is feasible. */
size_t bv_search_nearest_count(const bv_search *search);
bv_point bv_search_nearest(const bv_search *search, size_t i);

/* The points held just beyond a limit, i < count of that limit (beyond.h): they
 * miss it alone, and nothing on the front is as good when they are taken in.
 * Their limits aren't kept: NULL; violation is what they miss it by. */
size_t bv_search_beyond_count(const bv_search *search, size_t limit);
bv_point bv_search_beyond(const bv_search *search, size_t limit, size_t i);

/* The points that failed; valid until the next merge. */
const bv_failures *bv_search_failures(const bv_search *search);

/* Runs a search to its end in this process. */
void bv_search_run(bv_search *search);

#endif
