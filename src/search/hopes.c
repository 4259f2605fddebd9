/* SPDX-License-Identifier: MIT */
#include "search/hopes.h"

#include <stdlib.h>
#include <string.h>

#include "search/memory.h"

void bv_hopes_init(bv_hopes *h, size_t objectives) {
  *h = (bv_hopes){.objectives = objectives};
  h->ring = bv_allocate(BV_HOPES_KEPT * objectives, sizeof *h->ring);
}

void bv_hopes_free(bv_hopes *h) {
  free(h->ring);
  *h = (bv_hopes){0};
}

static double *hope(const bv_hopes *h, size_t number) {
  return h->ring + number % BV_HOPES_KEPT * h->objectives;
}

void bv_hopes_add(bv_hopes *h, const double *objectives) {
  memcpy(hope(h, h->count++), objectives, h->objectives * sizeof *objectives);
}

size_t bv_hopes_first(const bv_hopes *h) {
  return h->count < BV_HOPES ? 0 : h->count - BV_HOPES;
}

void bv_hopes_lower(const bv_hopes *h, size_t from, bv_ahead *ahead) {
  for (size_t i = from; i < h->count && ahead->lead > 0; i++)
    bv_ahead_meet(ahead, hope(h, i));
}
