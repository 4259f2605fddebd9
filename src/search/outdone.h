/* SPDX-License-Identifier: MIT */
/* Outdone: the points that others drove off the front lately. The way from one
 * of them to the front is a way that led on. */
#ifndef BV_SEARCH_OUTDONE_H
#define BV_SEARCH_OUTDONE_H

#include "search/archive.h"

/* Points kept. */
enum { BV_OUTDONE = 200 };

typedef struct bv_outdone {
  size_t variables, count; /* count: of all that were ever added */
  double *units;           /* the last BV_OUTDONE, x in units */
} bv_outdone;

void bv_outdone_init(bv_outdone *outdone, size_t variables);
void bv_outdone_free(bv_outdone *outdone);

/* Adds those that the archive's last offer drove off. */
void bv_outdone_add(bv_outdone *outdone, const bv_archive *front);

/* How many there are, BV_OUTDONE at most, and the x of one of them in units, i
 * below that. */
static inline size_t bv_outdone_held(const bv_outdone *outdone) {
  return outdone->count < BV_OUTDONE ? outdone->count : BV_OUTDONE;
}

static inline const double *bv_outdone_units(const bv_outdone *outdone,
                                             size_t i) {
  return outdone->units + i * outdone->variables;
}

#endif
