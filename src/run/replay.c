/* SPDX-License-Identifier: MIT */
#include "run/replay.h"

#include <stdlib.h>

/* Room for the records of any problem's cell. */
enum {
  NUMBERS_MOST =
      BV_CELL_MOST * (2 + BV_SPACE_MOST + BV_OBJECTIVES_MOST + BV_LIMITS_MOST)
};

bv_status bv_replay_begin(bv_replay *replay, bv_search *search,
                          const bv_keeper *keeper, bv_error *error) {
  *replay = (bv_replay){.search = search, .keeper = keeper};
  replay->result.records = calloc(NUMBERS_MOST, sizeof(double));
  replay->result.note = calloc(BV_NOTE_MOST, sizeof(double));
  if (replay->result.records && replay->result.note)
    return BV_OK;
  return bv_fail(error, BV_INTERNAL, "out of memory");
}

static bv_cell *cell_at(bv_replay *replay, uint64_t number) {
  return &replay->cells[number % BV_POOL_QUEUE_LEAST];
}

bv_status bv_replay_step(bv_replay *replay, bool *more, bv_error *error) {
  *more = false;
  while (replay->taken - replay->merged < BV_POOL_QUEUE_LEAST &&
         bv_search_wants(replay->search))
    bv_search_take(replay->search, cell_at(replay, replay->taken++));
  if (replay->taken == replay->merged)
    return BV_OK;
  const bv_cell *oldest = cell_at(replay, replay->merged);
  const bv_keeper *keeper = replay->keeper;
  bv_status status =
      keeper->recall(keeper->context, oldest, &replay->result, more, error);
  *more = *more && status == BV_OK;
  if (*more) {
    bv_search_merge(replay->search, oldest, &replay->result);
    replay->merged++;
  }
  return status;
}

bv_status bv_replay_post(const bv_replay *replay, bv_pool *pool,
                         bv_error *error) {
  for (uint64_t i = replay->merged; i < replay->taken; i++)
    if (bv_pool_post_cell(pool, &replay->cells[i % BV_POOL_QUEUE_LEAST],
                          error) != BV_OK)
      return BV_INTERNAL;
  return BV_OK;
}

void bv_replay_end(bv_replay *replay) {
  for (size_t i = 0; i < BV_POOL_QUEUE_LEAST; i++)
    bv_cell_free(&replay->cells[i]);
  free(replay->result.records);
  free(replay->result.note);
}
