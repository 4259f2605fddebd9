/* SPDX-License-Identifier: MIT */
/* Steers a search through a pool: cells out, results merged in order. */
#ifndef BV_RUN_STEER_H
#define BV_RUN_STEER_H

#include "run/pool.h"
#include "search/search.h"

/* What a look at a search decides: go on; end in order, so that the front is
 * exact; or leave at once with what is merged. */
typedef enum bv_verdict { BV_GO_ON, BV_END, BV_LEAVE } bv_verdict;

/* Keeps the results of cells, so that a search that was cut can go on. */
typedef struct bv_keeper {
  /* Fills the result of a cell kept by an earlier run; called in the order of
   * taking until *known is false. */
  bv_status (*recall)(void *context, const bv_cell *cell,
                      bv_cell_result *result, bool *known, bv_error *error);
  /* Keeps the result of a cell about to be merged; not called for recalled
   * cells. */
  bv_status (*keep)(void *context, const bv_cell *cell,
                    const bv_cell_result *result, bv_error *error);
  void *context;
} bv_keeper;

typedef struct bv_steering {
  double seconds; /* budget; INFINITY: none */
  /* Called after every merge. NULL: not called. */
  bv_verdict (*look)(void *context, const bv_search *search, double seconds);
  void *context;
  const bv_keeper *keeper; /* NULL: nothing is kept */
} bv_steering;

/* Runs the search to its end. The result depends on the search alone and not
 * on the pool's workers, unless time runs out, `look` ends it or a signal does
 * (see interrupt.h). BV_INTERRUPTED, BV_TERMINATED: a signal came, the search
 * has been stopped in order. BV_INTERNAL: workers can't be kept running. Else
 * what the keeper answers. */
bv_status bv_steer(bv_search *search, bv_pool *pool,
                   const bv_steering *steering, bv_error *error);

#endif
