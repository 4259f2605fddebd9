/* SPDX-License-Identifier: MIT */
/* Hopes: the objectives foreseen of points that were planned lately. What lies
 * near one of them promises less. */
#ifndef BV_SEARCH_HOPES_H
#define BV_SEARCH_HOPES_H

#include "search/staircase.h"
#include "search/tree.h"

/* As many as points of lists may be out at once: then the oldest goes. */
enum { BV_HOPES = 160 };

typedef struct bv_hopes {
  size_t objectives, count; /* of all that were ever added */
  double *ring;             /* the last BV_HOPES, objectives each */
  bool stale;               /* what follows lacks the last ones */
  bv_staircase staircase;   /* of one and two objectives */
  bv_tree tree;             /* of more */
} bv_hopes;

void bv_hopes_init(bv_hopes *hopes, size_t objectives);
void bv_hopes_free(bv_hopes *hopes);

void bv_hopes_add(bv_hopes *hopes, const double *objectives);

/* How far objectives would be ahead of all hopes (bv_tree_lead); INFINITY where
 * there are none. */
double bv_hopes_lead(bv_hopes *hopes, const double *objectives,
                     const double *scale);

#endif
