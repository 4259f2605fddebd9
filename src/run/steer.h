/* SPDX-License-Identifier: MIT */
/* Steers a search through a pool: cells out, results merged in order. */
#ifndef BV_RUN_STEER_H
#define BV_RUN_STEER_H

#include "run/pool.h"
#include "search/search.h"

typedef struct bv_steering {
  double seconds; /* budget; INFINITY: none */
  /* Called after every merge; false ends the search. NULL: not called. */
  bool (*look)(void *context, const bv_search *search, double seconds);
  void *context;
} bv_steering;

/* Runs the search to its end. The result depends on the search alone and not
 * on the pool's workers, unless time runs out, `look` ends it or a signal does
 * (see interrupt.h). BV_INTERRUPTED, BV_TERMINATED: a signal came, the search
 * has been stopped in order. BV_INTERNAL: workers can't be kept running. */
bv_status bv_steer(bv_search *search, bv_pool *pool,
                   const bv_steering *steering, bv_error *error);

#endif
