/* SPDX-License-Identifier: MIT */
/* Which branch of a mixed space a point lies on: branches are told by the
 * values of choices and ordered lists. */
#ifndef BV_SEARCH_KEYS_H
#define BV_SEARCH_KEYS_H

#include "search/space.h"

/* Most branches: choices beyond that tell none. */
enum { BV_BRANCHES_MOST = 2000 };

typedef struct bv_keys {
  const bv_space *space;
  size_t variable[BV_SPACE_MOST], variable_count; /* those that tell branches */
  size_t branches; /* 1 where there is no such variable */
} bv_keys;

/* Valid as long as the space. */
bv_keys bv_keys_make(const bv_space *space);

/* The branch of a point. */
size_t bv_keys_branch(const bv_keys *keys, const double *x);

/* Moves a point into a branch. */
void bv_keys_place(const bv_keys *keys, size_t branch, double *x);

/* How unlike two branches are: the distance along ordered lists, in lengths of
 * the list, and 1 for each other choice. */
double bv_keys_distance(const bv_keys *keys, size_t one, size_t other);

#endif
