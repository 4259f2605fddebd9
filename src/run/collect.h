/* SPDX-License-Identifier: MIT */
/* Collects the cases of a sweep's folder: their index, and the front over all
 * of them. */
#ifndef BV_RUN_COLLECT_H
#define BV_RUN_COLLECT_H

#include "run/index.h"
#include "run/merge.h"

/* Reads the fronts of a folder's cases into a merge. As bv_merge_add, and
 * bv_front_read. */
bv_status bv_collect_fronts(const char *folder, const bv_manifest *manifest,
                            const bv_index *index, bv_merge *merge,
                            bv_error *error);

/* Writes index.csv into the folder and the front over all cases to path, with
 * its sidecar. *missing (NULL is allowed) gets the number of cases that aren't
 * final. BV_NO_DESIGN: there is no front, only the index. BV_NO_INPUT: the
 * folder holds no sweep. BV_BAD_DATA: something in it is damaged or of another
 * sweep. BV_CANNOT_CREATE, BV_CANNOT_WRITE, BV_INTERNAL. */
bv_status bv_collect(const char *folder, const char *path, size_t *missing,
                     bv_error *error);

#endif
