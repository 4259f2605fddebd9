/* SPDX-License-Identifier: MIT */
/* Merging fronts of one study: what no row of any of them dominates, each row
 * with its case and its number there. The result doesn't depend on the order of
 * the fronts, and merging it again with any of them changes nothing. */
#ifndef BV_RUN_MERGE_H
#define BV_RUN_MERGE_H

#include "table/front.h"

typedef struct bv_merge bv_merge;

/* NULL: out of memory. */
bv_merge *bv_merge_new(void);
void bv_merge_free(bv_merge *merge); /* NULL is allowed */

/* Takes a front in; `name` tells it in messages. Rows are of the case that the
 * front's own column `case` or its sidecar tells, or else of case_name.
 * BV_BAD_DATA: it is of another study or version, has no objectives, a row
 * lacks one, or it holds designs near a front; BV_INTERNAL. */
bv_status bv_merge_add(bv_merge *merge, const bv_front *front, const char *name,
                       const char *case_name, bv_error *error);

/* Makes the merged front, in rising order of the objectives, with the
 * hypervolume of its rows. The seed is the smallest
 * of all, evaluations are left out: sources may have some in common. */
bv_status bv_merge_front(const bv_merge *merge, bv_front *front,
                         bv_error *error);

#endif
