/* SPDX-License-Identifier: MIT */
#ifndef BV_CLI_OPEN_H
#define BV_CLI_OPEN_H

#include "cli/command.h"
#include "run/known.h"
#include "script/study.h"
#include "table/front.h"

/* Finds the library and opens the study named by the first word, with what
 * stands after "--" as the script's arguments. One evaluation may take so many
 * seconds (BV_POINT_SECONDS where nothing else is said): from there on its
 * steps grow with them. As bv_study_open. */
#define BV_POINT_SECONDS 10.0
bv_status bv_open_study(const bv_words *words, uint64_t seed,
                        double point_seconds, bv_study **study,
                        bv_error *error);

/* Chooses the case called name of a study that has cases; NULL: the first,
 * which is told on standard error unless quiet. BV_USAGE: it has none of that
 * name. */
bv_status bv_open_case(bv_study *study, const char *name, bool quiet,
                       bv_error *error);

/* The seed that a front was made with; where it doesn't tell, or is NULL, that
 * of bv_study_defaults. */
uint64_t bv_open_seed_of(const bv_front *front);

/* The case that a row of a front is of; NULL where the front doesn't tell. */
const char *bv_open_case_of(const bv_front *front, size_t row);

/* Reads the variables of a row of the front at path into x, one value a
 * variable of the study. BV_BAD_DATA where it lacks one, or has a value that
 * the study's space doesn't hold. */
bv_status bv_open_point(const bv_study *study, const bv_front *front,
                        const char *path, size_t row, double *x,
                        bv_error *error);

/* Adds the designs of the front at path (NULL: none) to the study's starts,
 * fills digest (BV_DIGEST_SIZE bytes) and tells on standard error, unless
 * quiet, what was left out. BV_USAGE where the evaluations don't suffice for
 * the starts; else as bv_seeds_add. */
bv_status bv_open_seeds(bv_study *study, const char *path, uint64_t evaluations,
                        bool quiet, char *digest, bv_error *error);

#endif
