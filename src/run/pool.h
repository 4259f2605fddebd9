/* SPDX-License-Identifier: MIT */
/* The pool: worker processes that evaluate, watched from outside.
 *
 * Workers are forked from the parent, so each holds its own copy of whatever
 * the problem needs; the parent itself evaluates nothing. Work is posted to a
 * queue in shared memory, and answers come back in the order of posting:
 *
 *   while (work is left && !bv_pool_full(p))  bv_pool_post_cell(p, cell)
 *   bv_pool_next(p, …, &answer)               the oldest answer
 *   use the answer, then bv_pool_drop(p)
 *
 * A worker that dies, or whose one evaluation overstays, is replaced; its point
 * has failed (CRASH, TIMEOUT) and the rest of its cell goes on. Workers die
 * with their parent and leave SIGINT, SIGTERM, SIGHUP and SIGUSR1 to it. */
#ifndef BV_RUN_POOL_H
#define BV_RUN_POOL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "base/text.h"
#include "search/cell.h"
#include "search/problem.h"

/* Most workers, and the pieces of work a queue holds at least and at most: the
 * more, the more workers there are. */
enum {
  BV_POOL_JOBS_MOST = 256,
  BV_POOL_QUEUE_LEAST = 16,
  BV_POOL_QUEUE_MOST = 256
};

/* Most bytes a described point may answer, and numbers a cell may carry. */
enum { BV_REPLY_MOST = 1 << 18, BV_CELL_DATA_MOST = 1 << 15 };

/* Tells all about one point, in a worker: appends whatever the asker wants to
 * know to reply. Anything but BV_OUTCOME_EVALUATED is passed on with it. */
typedef bv_outcome (*bv_describe)(void *context, const double *x,
                                  bv_buffer *reply);

typedef struct bv_pool_options {
  size_t jobs;          /* workers, 1 … BV_POOL_JOBS_MOST */
  double point_seconds; /* one evaluation may take, > 0 */
  size_t memory_most;   /* bytes of address space a worker may hold; 0: any */
  bv_describe describe; /* NULL: no points are posted */
  void *describe_context;
} bv_pool_options;

/* One worker, 10 s a point, 4 GiB, nothing to describe. */
bv_pool_options bv_pool_defaults(void);

/* What became of a piece of work; valid until bv_pool_drop. */
typedef struct bv_answer {
  const bv_cell *cell;          /* of a posted cell, else NULL */
  const bv_cell_result *result; /* of a posted cell, else NULL */
  bv_outcome outcome;           /* of a posted point */
  const char *reply;            /* of a posted point, length bytes and a NUL */
  size_t length;
} bv_answer;

typedef struct bv_pool bv_pool;

/* Starts the workers; the problem and everything it refers to must outlive the
 * pool. *pool is NULL on failure. BV_BAD_DATA: an option is out of its range.
 * BV_INTERNAL: no memory or no process to be had. */
bv_status bv_pool_new(const bv_problem *problem, const bv_pool_options *options,
                      bv_pool **pool, bv_error *error);

/* Kills the workers; NULL is allowed. */
void bv_pool_free(bv_pool *pool);

/* True where nothing can be posted until an answer is dropped. */
bool bv_pool_full(const bv_pool *pool);

/* Pieces of work posted and not dropped. */
size_t bv_pool_pending(const bv_pool *pool);

/* Posts a copy of a cell, or of a point to be described. Call only where the
 * pool isn't full. BV_INTERNAL: the cell carries too many numbers. */
bv_status bv_pool_post_cell(bv_pool *pool, const bv_cell *cell,
                            bv_error *error);
void bv_pool_post_point(bv_pool *pool, const double *x);

/* Waits until the oldest piece of work is done, at most so many milliseconds,
 * and gives its answer; *answer is NULL where time ran out, a signal came in,
 * or nothing is pending. BV_INTERNAL: workers can't be kept running. */
bv_status bv_pool_next(bv_pool *pool, int milliseconds, bv_answer *answer,
                       bool *done, bv_error *error);

/* Forgets the oldest piece of work, whose answer has been used. */
void bv_pool_drop(bv_pool *pool);

/* Forgets all pending work; busy workers are replaced. */
bv_status bv_pool_clear(bv_pool *pool, bv_error *error);

/* Workers replaced so far, whatever ended them. */
size_t bv_pool_replaced(const bv_pool *pool);

#endif
