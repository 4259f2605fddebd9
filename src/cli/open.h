/* SPDX-License-Identifier: MIT */
#ifndef BV_CLI_OPEN_H
#define BV_CLI_OPEN_H

#include "cli/command.h"
#include "script/study.h"
#include "table/front.h"

/* Finds the library and opens the study named by the first word, with what
 * stands after "--" as the script's arguments. As bv_study_open. */
bv_status bv_open_study(const bv_words *words, uint64_t seed, bv_study **study,
                        bv_error *error);

/* Reads the variables of a front's row into x, one value a variable of the
 * study. BV_BAD_DATA where the front lacks a variable; else as
 * bv_study_parse_point. */
bv_status bv_open_point(const bv_study *study, const bv_front *front,
                        size_t row, double *x, bv_error *error);

#endif
