/* SPDX-License-Identifier: MIT */
#include "search/hopes.h"

#include <stdlib.h>
#include <string.h>

#include "search/memory.h"

void bv_hopes_init(bv_hopes *h, size_t objectives) {
  *h = (bv_hopes){.objectives = objectives, .tree = {.objectives = objectives}};
  h->ring = bv_allocate(BV_HOPES * objectives, sizeof *h->ring);
}

void bv_hopes_free(bv_hopes *h) {
  free(h->ring);
  bv_staircase_free(&h->staircase);
  bv_tree_free(&h->tree);
  *h = (bv_hopes){0};
}

void bv_hopes_add(bv_hopes *h, const double *objectives) {
  size_t at = h->count++ % BV_HOPES;
  memcpy(h->ring + at * h->objectives, objectives,
         h->objectives * sizeof *objectives);
  h->stale = true;
}

static void insert(bv_hopes *h, const double *f) {
  static const double nowhere[2] = {0, 0};
  size_t removed[BV_HOPES], count;
  if (h->objectives <= 2) {
    bv_stair stair = {f[0], h->objectives > 1 ? f[1] : 0, 0};
    bv_staircase_insert(&h->staircase, stair, nowhere, removed, &count);
  } else {
    bv_tree_insert(&h->tree, f, 0, removed, &count);
  }
}

/* Hopes come and go by cells, so that both are made anew at once. */
static void settle(bv_hopes *h) {
  size_t kept = h->count < BV_HOPES ? h->count : BV_HOPES;
  bv_staircase_free(&h->staircase);
  bv_tree_free(&h->tree);
  for (size_t i = 0; i < kept; i++)
    insert(h, h->ring + i * h->objectives);
  h->stale = false;
}

double bv_hopes_lead(bv_hopes *h, const double *f, const double *scale) {
  if (h->stale)
    settle(h);
  if (h->objectives == 1)
    return bv_staircase_lead(&h->staircase, (double[]){*f, 0},
                             (double[]){*scale, 1});
  return h->objectives == 2 ? bv_staircase_lead(&h->staircase, f, scale)
                            : bv_tree_lead(&h->tree, f, scale);
}
