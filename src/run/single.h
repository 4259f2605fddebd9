/* SPDX-License-Identifier: MIT */
#ifndef BV_RUN_SINGLE_H
#define BV_RUN_SINGLE_H

#include "run/told.h"
#include "table/front.h"

/* Evaluates one point in a worker of its own, watched like any other, and puts
 * it in a table of one row (see build.h); a failed point gives its outcome and
 * message in told, and the columns that could be filled. BV_INTERNAL. */
bv_status bv_single_tell(bv_study *study, const double *x, double point_seconds,
                         bv_told *told, bv_front *front, bv_error *error);

#endif
