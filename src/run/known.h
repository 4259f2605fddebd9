/* SPDX-License-Identifier: MIT */
/* Designs known from a front: the points of a study's space that its rows
 * stand for. */
#ifndef BV_RUN_KNOWN_H
#define BV_RUN_KNOWN_H

#include "base/text.h"
#include "script/study.h"
#include "table/front.h"

/* Where the variables of a study stand in a front. */
typedef struct bv_places {
  size_t column[BV_SPACE_MOST];
  double factor[BV_SPACE_MOST]; /* from the column's unit to the SI unit */
} bv_places;

/* Finds them by name, with or without unit. BV_BAD_DATA: the front, called path
 * in messages, lacks a variable, or has it in a unit of something else. */
bv_status bv_known_places(const bv_study *study, const bv_front *front,
                          const char *path, bv_places *places, bv_error *error);

/* Reads a row into x, one value a variable. BV_USAGE: a cell holds no value;
 * BV_BAD_DATA: the study's space doesn't hold the design. */
bv_status bv_known_point(const bv_study *study, const bv_front *front,
                         const char *path, const bv_places *places, size_t row,
                         double *x, bv_error *error);

/* Room for a SHA-256 in hexadecimal digits. */
enum { BV_DIGEST_SIZE = 65 };

/* What became of the designs of a front as starts of a search. */
typedef struct bv_seeds {
  size_t added, outside; /* designs; outside: the space doesn't hold them */
  char digest[BV_DIGEST_SIZE]; /* SHA-256 of the points added, lower-case hex */
  bv_buffer notes; /* lines of text for the user; freed by the caller */
} bv_seeds;

/* Adds the designs of the front at path to the starts of a study. Those outside
 * its space are left out and told in the notes. BV_NO_INPUT; BV_BAD_DATA: a
 * cell holds no value, no design lies in the space, or as bv_known_places;
 * BV_INTERNAL. */
bv_status bv_seeds_add(bv_study *study, const char *path, bv_seeds *seeds,
                       bv_error *error);

#endif
