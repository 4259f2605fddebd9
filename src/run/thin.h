/* SPDX-License-Identifier: MIT */
#ifndef BV_RUN_THIN_H
#define BV_RUN_THIN_H

#include "run/build.h"

/* Keeps at most `most` rows (0: all) of a front and their order: the best in
 * each objective, then, one by one, the row farthest from all that are kept,
 * with each objective scaled by its range. Gives how many are kept. */
size_t bv_thin(size_t objectives, bv_candidate *rows, size_t count,
               size_t most);

#endif
