/* SPDX-License-Identifier: MIT */
/* The probe: a few points before a search, so that a script that can't work is
 * told at once and not counted as thousands of failed points. */
#ifndef BV_RUN_PROBE_H
#define BV_RUN_PROBE_H

#include "run/pool.h"
#include "script/study.h"

/* Tells the middle and three random points (the middle and one where both are
 * lost, for each takes seconds) in the pool's workers (its describe
 * is bv_tell of the study), and sixty more where those don't tell. BV_BAD_DATA
 * where none can be evaluated and some fail that aren't impossible: the message
 * is the first one's; where points that are possible lack a result that an
 * objective or a limit asks for; or where their front couldn't be written. A
 * point that is merely not a number, because it describes something impossible,
 * is no fault of the script. */
bv_status bv_probe(const bv_study *study, bv_pool *pool, uint64_t seed,
                   bv_error *error);

#endif
