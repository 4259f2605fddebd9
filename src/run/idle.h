/* SPDX-License-Identifier: MIT */
/* Variables that change nothing: a slip in a name that charger.choices leaves
 * out, or a variable that evaluate forgot. A search would vary them all the
 * same, and a front would show them. */
#ifndef BV_RUN_IDLE_H
#define BV_RUN_IDLE_H

#include "run/told.h"

/* Changes each variable alone, at some of count points that were told, and
 * appends a line for each that changed no objective and no limit wherever both
 * points could be evaluated. At most about count points are evaluated more.
 * BV_INTERNAL. */
bv_status bv_idle_report(const bv_study *study, bv_pool *pool, uint64_t seed,
                         const double *x, const bv_told *told, size_t count,
                         bv_buffer *text, bv_error *error);

#endif
