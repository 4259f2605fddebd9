/* SPDX-License-Identifier: MIT */
#ifndef BV_RUN_BEST_H
#define BV_RUN_BEST_H

#include "run/build.h"

/* Keeps the told rows whose objectives no other row dominates, of equal ones
 * the first, in their order. Gives how many are kept. */
size_t bv_best(size_t objectives, bv_candidate *rows, size_t count);

#endif
