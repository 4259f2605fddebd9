/* SPDX-License-Identifier: MIT */
/* Whether the front still moves. While it does, what is added to it doesn't
 * last, and the budget belongs to the operators that look for better basins. */
#ifndef BV_SEARCH_DRIFT_H
#define BV_SEARCH_DRIFT_H

#include "search/archive.h"

/* Start from {0}. */
typedef struct bv_drift {
  uint64_t begin; /* evaluations at which the stretch under watch began */
  double advance; /* of the archive then */
  double share;   /* of the budget that is due to seeking, 0 … 1 */
} bv_drift;

/* Looks at the front after so many evaluations. */
void bv_drift_watch(bv_drift *drift, const bv_archive *front,
                    uint64_t evaluations);

#endif
