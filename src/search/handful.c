/* SPDX-License-Identifier: MIT */
#include "search/handful.h"

#include <math.h>

#include "base/number.h"

static void fetch(bv_handful *h, const bv_archive *front, const double *range,
                  size_t drawn) {
  size_t m = front->problem->objectives;
  for (size_t i = 0; i < drawn; i++) {
    const double *f = bv_archive_objectives(front, h->slots[i]);
    for (size_t j = 0; j < m; j++)
      h->objectives[j][i] = f[j] / range[j];
  }
  for (size_t i = drawn; i < h->layers * BV_HANDFUL_LAYER; i++)
    for (size_t j = 0; j < m; j++)
      h->objectives[j][i] = HUGE_VAL;
}

void bv_handful_draw(bv_handful *h, const bv_archive *front,
                     const size_t *slots, size_t count, const double *range,
                     size_t layers, bv_random *random) {
  bool all = count <= BV_HANDFUL_LAYER;
  h->layers = all ? 1 : layers;
  size_t drawn = all ? count : layers * BV_HANDFUL_LAYER;
  for (size_t i = 0; i < drawn; i++) {
    /* One from each of as many parts of the list as points are drawn; a layer
     * takes every part that lies a number of layers on. */
    size_t part = i % BV_HANDFUL_LAYER * h->layers + i / BV_HANDFUL_LAYER;
    size_t begin = part * count / drawn, end = (part + 1) * count / drawn;
    size_t at = all ? i : begin + bv_random_below(random, end - begin);
    h->slots[i] = slots[at];
    /* They lie far apart in memory: all are sent for at once. */
    __builtin_prefetch(bv_archive_objectives(front, slots[at]));
  }
  fetch(h, front, range, drawn);
}

void bv_handful_distances(const bv_handful *h, size_t objectives, size_t layer,
                          const double *f, const double *range,
                          double distances[BV_HANDFUL_LAYER]) {
  size_t from = layer * BV_HANDFUL_LAYER;
  for (int i = 0; i < BV_HANDFUL_LAYER; i++)
    distances[i] = 0;
  for (size_t j = 0; j < objectives; j++) {
    const double *known = h->objectives[j] + from;
    double own = f[j] / range[j];
    for (int i = 0; i < BV_HANDFUL_LAYER; i++)
      distances[i] = bv_larger(distances[i], fabs(known[i] - own));
  }
}
