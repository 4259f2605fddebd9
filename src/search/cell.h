/* SPDX-License-Identifier: MIT */
/* A cell: one piece of work that a worker can run alone, and its result. Plain
 * data without pointers to the search, so that it can cross a pipe. */
#ifndef BV_SEARCH_CELL_H
#define BV_SEARCH_CELL_H

#include <stddef.h>
#include <stdint.h>

#include "search/problem.h"

/* Most evaluations one cell may make. */
enum { BV_CELL_MOST = 128 };

/* What a worker needs: the search fills it, bv_cell_run reads it. The numbers
 * after the head are operator data (start points, aims, a Jacobian), `length`
 * of them. */
typedef struct bv_cell {
  uint64_t number;   /* from 0, in the order of taking */
  uint32_t operator; /* which operator made it */
  uint32_t most;     /* evaluations allowed, 1 … BV_CELL_MOST */
  size_t length;     /* numbers used in data */
  size_t room;       /* numbers allocated in data */
  double *data;      /* owned by the cell; bv_cell_free */
} bv_cell;

void bv_cell_free(bv_cell *cell);

/* What a cell gives back: its log of evaluated points, in fixed-size records of
 * bv_record_size(problem) doubles: outcome, x, objectives, limits. Where the
 * outcome isn't BV_OUTCOME_EVALUATED, the first objective holds the cause
 * (problem.h), all other results NAN. */
typedef struct bv_cell_result {
  size_t count;       /* records */
  double *records;    /* room for BV_CELL_MOST of them, owned by the caller */
  size_t note_length; /* numbers an operator returns besides points */
  double *note;       /* room for BV_NOTE_MOST, owned by the caller */
} bv_cell_result;

enum { BV_NOTE_MOST = 6144 };

size_t bv_record_size(const bv_problem *problem);

/* Runs a cell. Records already in `result` (result->count > 0 at the call) are
 * replayed instead of evaluated: a worker that died is replaced by one that
 * goes on after the point that killed it, and the result is as if the point had
 * failed by itself. The x of a record is written before its evaluation and the
 * record is complete before count is raised, so that a watcher who shares the
 * memory can call bv_record_fail for a point that killed its worker. */
void bv_cell_run(const bv_problem *problem, const bv_cell *cell,
                 bv_cell_result *result);

/* Completes the record after the last one as a failed point and raises count.
 */
void bv_record_fail(const bv_problem *problem, bv_cell_result *result,
                    bv_outcome outcome);

#endif
