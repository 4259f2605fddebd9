/* SPDX-License-Identifier: MIT */
/* Who stands beside whom on the front. */
#ifndef BV_SEARCH_NEAR_H
#define BV_SEARCH_NEAR_H

#include "search/plan.h"

/* Neighbours asked for at once, at most. */
enum { BV_NEAR_MOST = 16 };

/* The points nearest to a slot in objective space, nearest first, up to `most`:
 * with two objectives the true neighbours along the front, with more the
 * nearest of a random handful on the same branch, or of all where the point
 * stands alone on its own; who asks for the same cell gets them from the same
 * handful. Returns how many there are. */
size_t bv_near(const bv_search *search, size_t slot, bv_random *random,
               size_t *neighbours, size_t most);

/* Of the points nearest in objective space those most alike in x, most alike
 * first, up to `most`. Where designs that have little in common lie side by
 * side on the front, nothing is found between those, but between kin. */
size_t bv_near_kin(const bv_search *search, size_t slot, bv_random *random,
                   size_t *kin, size_t most);

/* The largest difference of two slots' objectives, in ranges. */
double bv_near_distance(const bv_search *search, size_t a, size_t b);

/* A random slot; the loneliest of a few. The front must not be empty. */
size_t bv_near_any(const bv_search *search, bv_random *random);
size_t bv_near_lonely(const bv_search *search, bv_random *random);

/* Neighbouring slots around a gap of the front; the first counts the tries. */
typedef struct bv_gap {
  size_t slots[BV_OBJECTIVES_MOST], count;
  double size; /* volume of the box around them, in ranges, halved a try */
} bv_gap;

/* The largest gap: with two objectives of the whole front, with more of a
 * random part of it. False where the front has fewer than two points. */
bool bv_near_gap(const bv_search *search, bv_random *random, bv_gap *gap);

#endif
