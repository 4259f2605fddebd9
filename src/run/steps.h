/* SPDX-License-Identifier: MIT */
/* Around a point: what one step in each variable would change. */
#ifndef BV_RUN_STEPS_H
#define BV_RUN_STEPS_H

#include "script/study.h"
#include "table/front.h"

/* Evaluates the points that differ from x in one variable by one step down or
 * up: the next value of a discrete one, a twentieth of the range of another.
 * Gives them as a front of unfinished rows in the order of the variables, down
 * before up; a point that failed has empty results. BV_INTERNAL, *front is
 * empty then. */
bv_status bv_steps_tell(bv_study *study, const double *x, double point_seconds,
                        bv_front *front, bv_error *error);

#endif
