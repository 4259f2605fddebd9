/* SPDX-License-Identifier: MIT */
#ifndef BV_RUN_THIN_H
#define BV_RUN_THIN_H

#include "run/build.h"

/* Keeps at most `most` rows (0: all) of a front and their order, those that
 * bv_thin_points chooses. Gives how many are kept. */
size_t bv_thin(size_t objectives, bv_candidate *rows, size_t count,
               size_t most);

#endif
