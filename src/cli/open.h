/* SPDX-License-Identifier: MIT */
#ifndef BV_CLI_OPEN_H
#define BV_CLI_OPEN_H

#include "cli/command.h"
#include "script/study.h"

/* Finds the library and opens the study named by the first word, with what
 * stands after "--" as the script's arguments. As bv_study_open. */
bv_status bv_open_study(const bv_words *words, uint64_t seed, bv_study **study,
                        bv_error *error);

#endif
