/* SPDX-License-Identifier: MIT */
/* What a user has to be told about a search besides its front: points that
 * failed, and why nothing is feasible. Texts only; the caller prints. */
#ifndef BV_RUN_REPORT_H
#define BV_RUN_REPORT_H

#include "base/text.h"
#include "run/pool.h"
#include "script/study.h"
#include "search/search.h"
#include "table/front.h"

/* Appends a command line that evaluates x again, with case, seed and arguments.
 */
void bv_report_command(const bv_study *study, const double *x, bv_buffer *text);

/* Appends failed points by kind and message, each message with its count and a
 * command line for the first point; nothing where none failed. The pool is idle
 * and describes by bv_tell. */
bv_status bv_report_failures(const bv_study *study, bv_pool *pool,
                             const bv_failures *failures, bv_buffer *text,
                             bv_error *error);

/* Appends a line for each name that the study's `results` tells about and that
 * none of the designs has: a slip, or a result of other designs. */
void bv_report_absent(const bv_study *study, const bv_front *designs,
                      bv_buffer *text);

/* Appends the least-violating points and the limits that bind. */
bv_status bv_report_infeasible(const bv_study *study, bv_pool *pool,
                               const bv_search *search, bv_buffer *text,
                               bv_error *error);

#endif
