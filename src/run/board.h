/* SPDX-License-Identifier: MIT */
/* The board: the shared memory between the pool and its workers. Private to
 * pool.c, crew.c and worker.c.
 *
 * A slot's state tells who may write it: FREE and DONE the parent, QUEUED
 * nobody, RUNNING + i the worker i. The worker raises `beats` when an
 * evaluation starts and when it ends, so an odd number that stands still is an
 * evaluation that overstays. The parent puts that number into `late`, so that a
 * script which still takes steps ends itself and tells its line; only what
 * doesn't is killed. */
#ifndef BV_RUN_BOARD_H
#define BV_RUN_BOARD_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

#include "run/pool.h"

enum { BV_SLOT_FREE, BV_SLOT_QUEUED, BV_SLOT_DONE, BV_SLOT_RUNNING };

typedef struct bv_slot {
  uint64_t number; /* of the piece of work, in the order of posting */
  bool is_point;
  bv_cell cell;          /* data: room for BV_CELL_DATA_MOST */
  bv_cell_result result; /* records, note: room for the most of each */
  bv_outcome outcome;    /* of a point */
  double *x;             /* of a point */
  char *reply;           /* of a point: room for BV_REPLY_MOST + 1 */
  size_t reply_length;

  atomic_uint_fast64_t beats, late;

  /* Of the parent alone. */
  uint64_t beats_seen;
  double stalled;    /* s without a beat */
  unsigned orphaned; /* times a worker died here outside of an evaluation */
  uint64_t
      pardoned; /* 1 + records when a worker was last killed from outside */
} bv_slot;

typedef struct bv_board {
  size_t room; /* slots in use, the same ones again and again */
  atomic_uint state[BV_POOL_QUEUE_MOST];
  atomic_uint_fast64_t first, next; /* queue: first not dropped, next to post */
  atomic_uint_fast64_t awaited;     /* 1 + number the parent sleeps for, or 0 */
  atomic_bool asleep[BV_POOL_JOBS_MOST];
  bv_slot slots[BV_POOL_QUEUE_MOST];
} bv_board;

/* The slot of a piece of work, and its state. */
static inline bv_slot *bv_board_slot(bv_board *board, uint64_t number) {
  return &board->slots[number % board->room];
}
static inline atomic_uint *bv_board_state(bv_board *board, uint64_t number) {
  return &board->state[number % board->room];
}

/* Maps a board of so many slots, up to BV_POOL_QUEUE_MOST, with room for the
 * problem's records, shared with all forked later, and gives its size; NULL
 * where memory ran out. Pages cost nothing until they are used. */
bv_board *bv_board_map(const bv_problem *problem, size_t room, size_t *size);

/* What a worker is born with. */
typedef struct bv_worker {
  bv_board *board;
  const bv_problem *problem;
  const bv_pool_options *options;
  unsigned self; /* its index */
  int bell;      /* eventfd that wakes it */
  int wake;      /* eventfd that wakes the parent */
} bv_worker;

/* The life of a worker process; never returns. */
_Noreturn void bv_worker_live(const bv_worker *worker, int parent);

#endif
