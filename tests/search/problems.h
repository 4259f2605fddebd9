/* SPDX-License-Identifier: MIT */
/* Published problems with known fronts, for tests and the bench. */
#ifndef BV_TESTS_SEARCH_PROBLEMS_H
#define BV_TESTS_SEARCH_PROBLEMS_H

#include "search/problem.h"

typedef struct test_problem {
  const char *name;
  const char *source;
  bv_problem problem;
  double reference[BV_OBJECTIVES_MOST]; /* of the hypervolume */
  double volume; /* of the true or best known front up to there */
} test_problem;

size_t test_problem_count(void);
const test_problem *test_problem_at(size_t i); /* i < test_problem_count() */

/* The problem of a name, NULL where there is none. */
const test_problem *test_problem_find(const char *name);

#endif
