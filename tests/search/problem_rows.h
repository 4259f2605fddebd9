/* SPDX-License-Identifier: MIT */
/* What the files of published problems share: one row of a table a problem. */
#ifndef BV_TESTS_SEARCH_PROBLEM_ROWS_H
#define BV_TESTS_SEARCH_PROBLEM_ROWS_H

#include <math.h>

#include "search/problems.h"

#define PI 3.14159265358979323846

/* Variables of n times the same range. */
#define REAL(from, to)                                                         \
  { .name = "x", .scale = BV_SCALE_REAL, .lo = (from), .hi = (to) }
#define REAL4(a, b) REAL(a, b), REAL(a, b), REAL(a, b), REAL(a, b)
#define REAL10(a, b) REAL4(a, b), REAL4(a, b), REAL(a, b), REAL(a, b)
#define REAL30(a, b) REAL10(a, b), REAL10(a, b), REAL10(a, b)
#define WHOLE(from, to)                                                        \
  { .name = "n", .scale = BV_SCALE_WHOLE, .lo = (from), .hi = (to) }

#define EVALUATE(name) static bv_outcome name(void *context, bv_evaluation *e)

#define PROBLEM(box, m, k, f)                                                  \
  .problem = {                                                                 \
      .space = {.variables = (box), .count = sizeof(box) / sizeof *(box)},     \
      .objectives = (m),                                                       \
      .limits = (k),                                                           \
      .evaluate = (f)}
#define SLICE(box, n, m, k, f)                                                 \
  .problem = {.space = {.variables = (box), .count = (n)},                     \
              .objectives = (m),                                               \
              .limits = (k),                                                   \
              .evaluate = (f)}

/* Functions made to be searched, without and with limits. */
extern const test_problem made_problems[];
extern const size_t made_problem_count;

/* Devices of engineering. */
extern const test_problem device_problems[];
extern const size_t device_problem_count;

#endif
