/* SPDX-License-Identifier: MIT */
/* Which points were evaluated, by fingerprint. */
#ifndef BV_SEARCH_SEEN_H
#define BV_SEARCH_SEEN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Start from {0}. */
typedef struct bv_seen {
  size_t count, room;
  uint64_t *marks;
} bv_seen;

void bv_seen_free(bv_seen *seen);

/* Marks a point; false where it was marked. Without memory for more all marks
 * are forgotten. */
bool bv_seen_add(bv_seen *seen, const double *x, size_t count);

#endif
