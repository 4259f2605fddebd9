/* SPDX-License-Identifier: MIT */
/* Failed points, grouped by how and why they failed. */
#ifndef BV_SEARCH_FAILURES_H
#define BV_SEARCH_FAILURES_H

#include <stdint.h>

#include "search/problem.h"

/* Groups held apart; points of others are only counted. */
enum { BV_FAILURES_MOST = 100 };

/* Points with one outcome and cause. */
typedef struct bv_failure {
  bv_outcome outcome;
  double cause; /* as bv_evaluation has it */
  uint64_t count;
} bv_failure;

typedef struct bv_failures {
  size_t width, groups;
  bv_failure group[BV_FAILURES_MOST];  /* in the order of their first points */
  double *x;                           /* the first point of each, width each */
  uint64_t others[BV_OUTCOME_COUNT];   /* points of no group */
  uint64_t outcomes[BV_OUTCOME_COUNT]; /* points of all */
} bv_failures;

/* For points of so many variables. */
void bv_failures_init(bv_failures *failures, size_t width);
void bv_failures_free(bv_failures *failures);

void bv_failures_add(bv_failures *failures, bv_outcome outcome, double cause,
                     const double *x);

/* The first point of a group. */
const double *bv_failures_first(const bv_failures *failures, size_t group);

#endif
