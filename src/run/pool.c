/* SPDX-License-Identifier: MIT */
#include "run/pool.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#include "run/board.h"
#include "run/clock.h"
#include "run/crew.h"

/* Pieces of work a worker. */
enum { QUEUE_EACH = 8 };

struct bv_pool {
  bv_problem problem;
  bv_pool_options options;
  bv_board *board;
  size_t board_size;
  bv_crew crew;
};

bv_pool_options bv_pool_defaults(void) {
  return (bv_pool_options){
      .jobs = 1, .point_seconds = 10, .memory_most = (size_t) 4 << 30};
}

static bv_status check(const bv_pool_options *options, bv_error *error) {
  if (options->jobs < 1 || options->jobs > BV_POOL_JOBS_MOST)
    return bv_fail(error, BV_BAD_DATA, "expected 1 to %d workers, found %zu",
                   BV_POOL_JOBS_MOST, options->jobs);
  if (!(options->point_seconds > 0))
    return bv_fail(error, BV_BAD_DATA,
                   "expected a time for one point above zero, found %g s",
                   options->point_seconds);
  return BV_OK;
}

/* Pieces of work in the queue: enough that no worker waits for the parent, and
 * no more, for memory that is used again is at hand and mapped. */
static size_t queue_room(size_t jobs) {
  size_t room = QUEUE_EACH * jobs;
  room = room < BV_POOL_QUEUE_LEAST ? BV_POOL_QUEUE_LEAST : room;
  return room < BV_POOL_QUEUE_MOST ? room : BV_POOL_QUEUE_MOST;
}

static bv_status set_up(bv_pool *pool, bv_error *error) {
  pool->board = bv_board_map(&pool->problem, queue_room(pool->options.jobs),
                             &pool->board_size);
  if (!pool->board)
    return bv_fail(error, BV_INTERNAL,
                   "cannot map the %zu MB shared with workers: %s (ulimit -v?)",
                   pool->board_size / 1000000, strerror(errno));
  pool->crew.common.board = pool->board;
  pool->crew.common.problem = &pool->problem;
  pool->crew.common.options = &pool->options;
  return bv_crew_start(&pool->crew, error);
}

bv_status bv_pool_new(const bv_problem *problem, const bv_pool_options *options,
                      bv_pool **pool, bv_error *error) {
  *pool = NULL;
  if (check(options, error) != BV_OK)
    return BV_BAD_DATA;
  bv_pool *made = calloc(1, sizeof *made);
  if (!made)
    return bv_fail(error, BV_INTERNAL, "out of memory for workers");
  made->problem = *problem;
  made->options = *options;
  bv_status status = set_up(made, error);
  if (status == BV_OK)
    *pool = made;
  else
    bv_pool_free(made);
  return status;
}

void bv_pool_free(bv_pool *pool) {
  if (!pool)
    return;
  bv_crew_end(&pool->crew);
  if (pool->board)
    munmap(pool->board, pool->board_size);
  free(pool);
}

size_t bv_pool_pending(const bv_pool *pool) {
  return (size_t) (atomic_load(&pool->board->next) -
                   atomic_load(&pool->board->first));
}

bool bv_pool_full(const bv_pool *pool) {
  return bv_pool_pending(pool) == pool->board->room;
}

size_t bv_pool_replaced(const bv_pool *pool) {
  return pool->crew.replaced;
}

/* The next free slot, emptied. */
static bv_slot *open_slot(bv_pool *pool) {
  uint64_t number = atomic_load(&pool->board->next);
  bv_slot *slot = bv_board_slot(pool->board, number);
  slot->number = number;
  slot->result.count = 0;
  slot->result.note_length = 0;
  slot->orphaned = 0;
  slot->pardoned = 0;
  slot->stalled = 0;
  slot->beats_seen = 0;
  atomic_store(&slot->beats, 0);
  return slot;
}

static void post(bv_pool *pool, bv_slot *slot) {
  atomic_store(bv_board_state(pool->board, slot->number), BV_SLOT_QUEUED);
  atomic_store(&pool->board->next, slot->number + 1);
  bv_crew_ring(&pool->crew);
}

bv_status bv_pool_post_cell(bv_pool *pool, const bv_cell *cell,
                            bv_error *error) {
  if (cell->length > BV_CELL_DATA_MOST)
    return bv_fail(error, BV_INTERNAL, "a cell carries %zu numbers, over %d",
                   cell->length, BV_CELL_DATA_MOST);
  bv_slot *slot = open_slot(pool);
  double *data = slot->cell.data;
  slot->is_point = false;
  slot->cell = *cell;
  slot->cell.data = data;
  slot->cell.room = BV_CELL_DATA_MOST;
  if (cell->length > 0)
    memcpy(data, cell->data, cell->length * sizeof *data);
  post(pool, slot);
  return BV_OK;
}

void bv_pool_post_point(bv_pool *pool, const double *x) {
  bv_slot *slot = open_slot(pool);
  slot->is_point = true;
  memcpy(slot->x, x, pool->problem.space.count * sizeof *x);
  post(pool, slot);
}

static bool is_done(const bv_pool *pool, uint64_t number) {
  return atomic_load(bv_board_state(pool->board, number)) == BV_SLOT_DONE;
}

static bool oldest_is_done(const bv_pool *pool) {
  return is_done(pool, atomic_load(&pool->board->first));
}

/* The piece of work to be woken for: a later one than the oldest while that
 * leaves every worker a second one, for each wake takes a processor from them.
 * Should the oldest be slower, it is waited for by itself. */
static uint64_t worth_waking_for(const bv_pool *pool) {
  uint64_t first = atomic_load(&pool->board->first);
  size_t pending = bv_pool_pending(pool), kept = 2 * pool->options.jobs;
  uint64_t later = first + (pending > kept ? pending - kept - 1 : 0);
  return is_done(pool, later) ? first : later;
}

/* Waits until the oldest is done; where it is and a later one isn't that is
 * waited for, the crew's sleep ends soon by itself. The parent says what it
 * sleeps for before it looks again, and a worker looks there after handing in:
 * no wake is missed. */
static bv_status wait_for_oldest(bv_pool *pool, int milliseconds,
                                 bv_error *error) {
  double end = 1e3 * bv_clock() + milliseconds, left = milliseconds;
  bool signalled = false;
  bv_status status = BV_OK;
  while (status == BV_OK && !signalled && left >= 0 && !oldest_is_done(pool)) {
    bv_crew_watch(&pool->crew);
    uint64_t awaited = worth_waking_for(pool);
    atomic_store(&pool->board->awaited, awaited + 1);
    if (!oldest_is_done(pool) && !is_done(pool, awaited))
      status = bv_crew_sleep(&pool->crew, (int) left, &signalled, error);
    atomic_store(&pool->board->awaited, 0);
    left = end - 1e3 * bv_clock();
  }
  return status;
}

static bv_answer answer_of(const bv_slot *slot) {
  if (!slot->is_point)
    return (bv_answer){.cell = &slot->cell, .result = &slot->result};
  return (bv_answer){.outcome = slot->outcome,
                     .reply = slot->reply,
                     .length = slot->reply_length};
}

bv_status bv_pool_next(bv_pool *pool, int milliseconds, bv_answer *answer,
                       bool *done, bv_error *error) {
  *done = false;
  if (bv_pool_pending(pool) == 0)
    return BV_OK;
  if (!oldest_is_done(pool) &&
      wait_for_oldest(pool, milliseconds, error) != BV_OK)
    return BV_INTERNAL;
  *done = oldest_is_done(pool);
  if (*done)
    *answer =
        answer_of(bv_board_slot(pool->board, atomic_load(&pool->board->first)));
  return BV_OK;
}

void bv_pool_drop(bv_pool *pool) {
  uint64_t first = atomic_load(&pool->board->first);
  atomic_store(bv_board_state(pool->board, first), BV_SLOT_FREE);
  atomic_store(&pool->board->first, first + 1);
}

bv_status bv_pool_clear(bv_pool *pool, bv_error *error) {
  bv_board *board = pool->board;
  uint64_t first = atomic_load(&board->first), next = atomic_load(&board->next);
  for (uint64_t i = first; i < next; i++) {
    unsigned queued = BV_SLOT_QUEUED;
    atomic_compare_exchange_strong(bv_board_state(board, i), &queued,
                                   BV_SLOT_DONE);
  }
  bv_status status = bv_crew_abandon(&pool->crew, error);
  for (uint64_t i = first; i < next; i++)
    bv_pool_drop(pool);
  return status;
}
