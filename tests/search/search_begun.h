/* SPDX-License-Identifier: MIT */
/* Searches in tests of single operators: past the first sample, with a front of
 * the test's own. */
#ifndef BV_TESTS_SEARCH_SEARCH_BEGUN_H
#define BV_TESTS_SEARCH_SEARCH_BEGUN_H

#include "check_main.h"
#include "search/plan.h"

/* For a budget, measured by a yardstick; freed by the caller. */
static inline bv_search *begun(const bv_problem *problem, uint64_t evaluations,
                               const bv_yardstick *yardstick) {
  bv_search_options options = bv_search_defaults();
  bv_search *s;
  options.evaluations = evaluations;
  ck_assert_int_eq(bv_search_new(problem, &options, &s, NULL), BV_OK);
  s->sampled = s->sample_rows;
  s->state.cells = s->sample_cells;
  s->yardstick = *yardstick;
  return s;
}

/* A feasible point, for the front and its branch. */
static inline void offer_point(bv_search *s, const double *x, const double *f) {
  bv_archive_offer(&s->front, x, f, NULL, &s->yardstick);
  bv_branches_offer(&s->branches, 0, x, f, 0, BV_RIVAL_NEAREST);
}

#endif
