/* SPDX-License-Identifier: MIT */
/* A random handful of a front's points, their objectives side by side: to find
 * who is near one point after another, they are fetched once. */
#ifndef BV_SEARCH_HANDFUL_H
#define BV_SEARCH_HANDFUL_H

#include "base/random.h"
#include "search/archive.h"

/* Points of a layer, and layers at most. */
enum { BV_HANDFUL_LAYER = 64, BV_HANDFUL_LAYERS = 4 };
enum { BV_HANDFUL_MOST = BV_HANDFUL_LAYERS * BV_HANDFUL_LAYER };

typedef struct bv_handful {
  size_t layers;
  size_t slots[BV_HANDFUL_MOST];
  double objectives[BV_OBJECTIVES_MOST][BV_HANDFUL_MOST]; /* in ranges */
} bv_handful;

/* Draws layers (1 … BV_HANDFUL_LAYERS) from slots, no slot twice; all of them
 * where one layer holds them. Each layer draws on all parts of the list alike.
 * Ranges: of the objectives, above 0. */
void bv_handful_draw(bv_handful *handful, const bv_archive *front,
                     const size_t *slots, size_t count, const double *range,
                     size_t layers, bv_random *random);

/* The largest difference of objectives, in ranges, to each point of a layer;
 * INFINITY where it holds less. */
void bv_handful_distances(const bv_handful *handful, size_t objectives,
                          size_t layer, const double *point,
                          const double *range,
                          double distances[BV_HANDFUL_LAYER]);

#endif
