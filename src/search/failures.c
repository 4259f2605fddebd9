/* SPDX-License-Identifier: MIT */
#include "search/failures.h"

#include <stdlib.h>
#include <string.h>

#include "search/memory.h"

void bv_failures_init(bv_failures *failures, size_t width) {
  *failures = (bv_failures){.width = width};
  failures->x = bv_allocate(BV_FAILURES_MOST * width, sizeof *failures->x);
}

void bv_failures_free(bv_failures *failures) {
  free(failures->x);
  *failures = (bv_failures){0};
}

void bv_failures_add(bv_failures *f, bv_outcome outcome, double cause,
                     const double *x) {
  size_t i = 0;
  while (i < f->groups &&
         (f->group[i].outcome != outcome || f->group[i].cause != cause))
    i++;
  f->outcomes[outcome]++;
  if (i == BV_FAILURES_MOST) {
    f->others[outcome]++;
    return;
  }
  if (i == f->groups) {
    f->group[f->groups++] = (bv_failure){outcome, cause, 0};
    memcpy(f->x + i * f->width, x, f->width * sizeof *x);
  }
  f->group[i].count++;
}

const double *bv_failures_first(const bv_failures *failures, size_t group) {
  return failures->x + group * failures->width;
}
