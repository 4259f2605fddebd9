/* SPDX-License-Identifier: MIT */
/* The ends of a study's limits, one by one. */
#ifndef BV_RUN_ENDS_H
#define BV_RUN_ENDS_H

#include "base/text.h"
#include "run/told.h"
#include "script/study.h"

typedef struct bv_limit_end {
  const char *name; /* of the limited result */
  bool is_max;
  double bound; /* NAN: a function of the results */
} bv_limit_end;

/* Lists the ends in the order of the problem's limits into ends, which has
 * room for BV_LIMITS_MOST; gives their count. */
size_t bv_ends_list(const bv_study *study, bv_limit_end *ends);

/* Puts the bound that the script's function gave at a point that was told in
 * the place of one that isn't known. */
void bv_ends_resolve(bv_limit_end *end, const bv_told *told);

/* Appends "at most 110 degC". */
void bv_ends_print(const bv_limit_end *end, const char *unit, bv_buffer *text);

#endif
