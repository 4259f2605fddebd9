/* SPDX-License-Identifier: MIT */
/* Builds the table of a front from points told in full. */
#ifndef BV_RUN_BUILD_H
#define BV_RUN_BUILD_H

#include "run/told.h"
#include "table/front.h"

/* One row of a front to be. */
typedef struct bv_candidate {
  const double *x;
  const bv_told *told;
} bv_candidate;

/* Fills *front with a column `row` (1, 2, …), then variables, objectives and
 * other results, in the given order of rows; origin is left empty. A result
 * named like a variable stands once where they agree, else it is called
 * evaluated_NAME. BV_BAD_DATA: two columns would have one header cell;
 * BV_INTERNAL: out of memory. *front is empty then. */
bv_status bv_front_build(const bv_study *study, const bv_candidate *rows,
                         size_t count, bv_front *front, bv_error *error);

#endif
