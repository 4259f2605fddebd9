/* SPDX-License-Identifier: MIT */
/* Hopes: the objectives foreseen of points that were planned lately. What lies
 * near one of them promises less. They are few, so all are looked at. */
#ifndef BV_SEARCH_HOPES_H
#define BV_SEARCH_HOPES_H

#include "search/ahead.h"

/* As many as points of lists may be out at once: then the oldest goes. It is
 * kept a while longer, for a cell that began with it. */
enum { BV_HOPES = 160, BV_HOPES_KEPT = 256 };

typedef struct bv_hopes {
  size_t objectives, count; /* of all that were ever added */
  double *ring;             /* the last BV_HOPES_KEPT, objectives each */
} bv_hopes;

void bv_hopes_init(bv_hopes *hopes, size_t objectives);
void bv_hopes_free(bv_hopes *hopes);

void bv_hopes_add(bv_hopes *hopes, const double *objectives);

/* The number of the first that counts; they are numbered from 0. */
size_t bv_hopes_first(const bv_hopes *hopes);

/* Lowers a lead by the hopes from a number on, that of one that is kept. */
void bv_hopes_lower(const bv_hopes *hopes, size_t from, bv_ahead *ahead);

#endif
