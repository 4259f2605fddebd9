/* SPDX-License-Identifier: MIT */
/* The log of a running cell: every evaluation goes through it, so that what a
 * cell returns, what a dead worker leaves and what a replay gives are the same.
 */
#ifndef BV_SEARCH_LOG_H
#define BV_SEARCH_LOG_H

#include "search/cell.h"

typedef struct bv_log {
  const bv_problem *problem;
  bv_cell_result *result;
  size_t next; /* record the next evaluation fills or replays */
  size_t most; /* evaluations allowed */
} bv_log;

/* Evaluates x, or replays it; its record, or NULL where `most` are made. */
const double *bv_log_evaluate(bv_log *log, const double *x);

/* A record taken apart; the arrays lie in the record. */
typedef struct bv_record_view {
  bv_outcome outcome;
  double cause; /* of a failure, 0 where it isn't known or there is none */
  const double *x, *objectives, *limits;
} bv_record_view;

bv_record_view bv_record_look(const bv_problem *problem, const double *record);

/* The largest limit above tolerance, and the sum of all such; 0: feasible. */
double bv_violation(const bv_problem *problem, const double *limits);
double bv_violation_sum(const bv_problem *problem, const double *limits);

#endif
