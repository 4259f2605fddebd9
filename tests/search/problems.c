/* SPDX-License-Identifier: MIT */
#include "search/problems.h"

#include <string.h>

#include "search/problem_rows.h"

size_t test_problem_count(void) {
  return made_problem_count + device_problem_count;
}

const test_problem *test_problem_at(size_t i) {
  return i < made_problem_count ? &made_problems[i]
                                : &device_problems[i - made_problem_count];
}

const test_problem *test_problem_find(const char *name) {
  for (size_t i = 0; i < test_problem_count(); i++)
    if (!strcmp(test_problem_at(i)->name, name))
      return test_problem_at(i);
  return NULL;
}
