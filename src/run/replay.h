/* SPDX-License-Identifier: MIT */
/* The replay of a search from kept results: cells are taken and merged in the
 * order of the run that kept them, so the search arrives where that one was. */
#ifndef BV_RUN_REPLAY_H
#define BV_RUN_REPLAY_H

#include "run/pool.h"
#include "run/steer.h"

typedef struct bv_replay {
  bv_search *search;
  const bv_keeper *keeper;
  uint64_t taken, merged;
  bv_cell
      cells[BV_POOL_QUEUE_LEAST]; /* taken, not merged; number % their count */
  bv_cell_result result;
} bv_replay;

/* BV_INTERNAL: out of memory. */
bv_status bv_replay_begin(bv_replay *replay, bv_search *search,
                          const bv_keeper *keeper, bv_error *error);

/* Takes what is wanted and merges one cell; *more is false where the next one
 * isn't known, or the search is done. As the keeper's recall. */
bv_status bv_replay_step(bv_replay *replay, bool *more, bv_error *error);

/* Posts the cells that are taken and not merged to an idle pool. */
bv_status bv_replay_post(const bv_replay *replay, bv_pool *pool,
                         bv_error *error);
void bv_replay_end(bv_replay *replay);

#endif
