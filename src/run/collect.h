/* SPDX-License-Identifier: MIT */
/* Collects the cases of a sweep's folder: their index, and the front over all
 * of them. */
#ifndef BV_RUN_COLLECT_H
#define BV_RUN_COLLECT_H

#include "run/index.h"
#include "run/merge.h"

/* What the cases of a folder add up to. */
typedef struct bv_collected {
  size_t missing;       /* cases that aren't settled */
  uint64_t evaluations; /* of all cases so far */
} bv_collected;

/* Adds the fronts of a folder's cases to a merge, then writes index.csv there.
 * BV_NO_INPUT: the folder holds no sweep. BV_BAD_DATA: something in it is
 * damaged or of another sweep. BV_CANNOT_CREATE, BV_CANNOT_WRITE: all was
 * added, but no index is written. BV_INTERNAL. */
bv_status bv_collect_into(bv_merge *merge, const char *folder,
                          bv_collected *collected, bv_error *error);

/* The same for one folder alone, and writes the front over all its cases to
 * front.csv there, with its sidecar; *shown is how many cases have rows in it.
 * BV_NO_DESIGN: there is no front, only the index. */
bv_status bv_collect(const char *folder, size_t *shown, bv_error *error);

#endif
