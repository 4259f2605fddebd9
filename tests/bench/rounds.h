/* SPDX-License-Identifier: MIT */
/* What benches print that compare in turns. */
#ifndef BV_TESTS_BENCH_ROUNDS_H
#define BV_TESTS_BENCH_ROUNDS_H

#include <stdio.h>
#include <stdlib.h>

static inline int rounds_compare(const void *a, const void *b) {
  const double *x = a, *y = b;
  return (*x > *y) - (*x < *y);
}

/* A figure of several rounds: its median, and how far they lie apart. Sorts the
 * values. */
static inline void print_rounds(const char *what, double *values, size_t count,
                                const char *unit) {
  qsort(values, count, sizeof *values, rounds_compare);
  printf("%-44s %21.2f %s [%.2f to %.2f]\n", what, values[count / 2], unit,
         values[0], values[count - 1]);
}

#endif
