/* SPDX-License-Identifier: MIT */
/* The finish of a search: every point of its front evaluated again as it can be
 * built, checked against limits and dominance, and put in a table. */
#ifndef BV_RUN_FINISH_H
#define BV_RUN_FINISH_H

#include "run/pool.h"
#include "script/study.h"
#include "search/search.h"
#include "table/front.h"

/* Rows asked for. */
typedef struct bv_finish_most {
  size_t rows; /* of the front at most, spread over it; 0: every row */
  size_t near; /* designs near it at most (run/near.h) */
} bv_finish_most;

/* Makes the front of a search in rising order of the first objective, then the
 * second, …, and the table of what a small change of a limit would admit. The
 * pool is idle and describes by bv_tell; a second one is made by options to
 * verify the rows that are kept (bv_study_verify_designs). Points that can't be
 * told again are left out and appended to report. Once a run that was asked to
 * end is late (interrupt.h), a row is as far told as it is, down to its
 * objectives, the report tells so, and untold near designs are left out. Tables
 * without rows are BV_OK too. */
bv_status bv_finish(bv_study *study, bv_pool *pool,
                    const bv_pool_options *options, const bv_search *search,
                    bv_finish_most most, bv_front *front, bv_front *near,
                    bv_buffer *report, bv_error *error);

#endif
