/* SPDX-License-Identifier: MIT */
/* A survey: a study checked without being searched. Points spread evenly over
 * its space tell what an evaluation costs, what share of the space is allowed
 * and which limits forbid the rest. */
#ifndef BV_RUN_SURVEY_H
#define BV_RUN_SURVEY_H

#include "base/text.h"
#include "script/study.h"

typedef struct bv_survey_options {
  size_t points; /* 1 … BV_SURVEY_MOST */
  uint64_t seed;
  size_t jobs;          /* worker processes */
  double point_seconds; /* one evaluation may take */
} bv_survey_options;

enum { BV_SURVEY_MOST = 10000 };

/* 500 points, seed 1, one worker a processor, 10 s a point. */
bv_survey_options bv_survey_defaults(void);

/* Evaluates a Latin hypercube of points exactly, in workers, and appends to
 * text what it found. BV_BAD_DATA where no point can be evaluated (the message
 * is the first one's); BV_INTERNAL. */
bv_status bv_survey(bv_study *study, const bv_survey_options *options,
                    bv_buffer *text, bv_error *error);

#endif
