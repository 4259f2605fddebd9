/* SPDX-License-Identifier: MIT */
/* Runs searches in tests. */
#ifndef BV_TESTS_SEARCH_SEARCH_RUN_H
#define BV_TESTS_SEARCH_SEARCH_RUN_H

#include "check_main.h"
#include "search/search.h"

static inline bv_search_options budget(uint64_t evaluations) {
  bv_search_options options = bv_search_defaults();
  options.evaluations = evaluations;
  return options;
}

/* A search that ran to its end; freed by the caller. */
static inline bv_search *run(const bv_problem *problem,
                             bv_search_options options) {
  bv_search *s;
  bv_error error;
  ck_assert_msg(bv_search_new(problem, &options, &s, &error) == BV_OK, "%s",
                error.text);
  bv_search_run(s);
  ck_assert(bv_search_done(s));
  return s;
}

#endif
