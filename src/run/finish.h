/* SPDX-License-Identifier: MIT */
/* The finish of a search: every point of its front evaluated again as it can be
 * built, checked against limits and dominance, and put in a table. */
#ifndef BV_RUN_FINISH_H
#define BV_RUN_FINISH_H

#include "run/pool.h"
#include "script/study.h"
#include "search/search.h"
#include "table/front.h"

/* Makes the front of a search in rising order of the first objective, then the
 * second, …; at most `most` rows spread over the front (0: every row). The pool
 * is idle and describes by bv_tell; a second one is made by options to verify
 * the rows that are kept (bv_study_verify_designs). A front without rows is
 * BV_OK too. */
bv_status bv_finish(bv_study *study, bv_pool *pool,
                    const bv_pool_options *options, const bv_search *search,
                    size_t most, bv_front *front, bv_error *error);

#endif
