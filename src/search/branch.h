/* SPDX-License-Identifier: MIT */
/* Branches of a mixed space: all points that share the values of its choices
 * and ordered lists, such as the designs on one core. Each has a pool of its
 * own, so that a branch which is behind for lack of luck alone isn't lost, and
 * is judged by what it can add to the front. */
#ifndef BV_SEARCH_BRANCH_H
#define BV_SEARCH_BRANCH_H

#include <stdint.h>

#include "search/archive.h"
#include "search/keys.h"
#include "search/population.h"

/* Members of a pool; choices that tell no branch (keys.h) vary in the pools. */
enum { BV_POOL_SIZE = 20 };

/* What a branch achieved: objectives, and the sum of limits broken; INFINITY
 * where nothing was evaluated. */
typedef struct bv_feat {
  double objectives[BV_OBJECTIVES_MOST], violation;
} bv_feat;

typedef struct bv_branch {
  bv_population pool;
  uint64_t life;    /* pools that came to their end before this one */
  uint64_t begun;   /* `planned` when this one began */
  uint64_t idle;    /* offers since a member was last replaced */
  uint64_t planned; /* evaluations planned in the branch */
  /* The best so far, what it was at `mark` evaluations and at half of these. */
  bv_feat best, marked, before;
  uint64_t mark;
  bool moves[BV_OBJECTIVES_MOST]; /* the objectives that differ within it */
  double deficit; /* by how much it stays behind the front (bv_archive_behind)
                     were it to gain again what it gained lately */
} bv_branch;

typedef struct bv_branches {
  const bv_problem *problem;
  bv_keys keys;
  size_t count; /* branches */
  double trial; /* evaluations after which a branch's deficit counts half */
  bool moves[BV_OBJECTIVES_MOST]; /* the objectives that differ within one */
  bv_branch *list;
} bv_branches;

/* For a search of so many evaluations. */
void bv_branches_init(bv_branches *branches, const bv_problem *problem,
                      uint64_t evaluations);
void bv_branches_free(bv_branches *branches);

/* Offers an evaluated point to its branch's pool, unless that has begun anew
 * since life `life`. It takes the place of the member `rival` where it is at
 * least as good and joins the pool where neither is better (S. Kukkonen, J.
 * Lampinen, "GDE3: the third evolution step of generalized differential
 * evolution", CEC 2005); BV_RIVAL_NEAREST: of the member nearest in x. */
void bv_branches_offer(bv_branches *branches, uint64_t life, const double *x,
                       const double *objectives, double violation,
                       size_t rival);
#define BV_RIVAL_NEAREST SIZE_MAX

/* Takes note of an evaluated point and judges its branch beside the front,
 * which has seen the point already. A pool that came to its end begins anew. */
void bv_branches_judge(bv_branches *branches, const double *x,
                       const double *objectives, double violation,
                       const bv_archive *front, const bv_yardstick *yardstick);

/* The branch where the next evaluations are best spent: the one that had the
 * fewest, weighed by its deficit. None falls out for ever. */
size_t bv_branches_choose(const bv_branches *branches);

/* The objectives that differ within a branch; returns how many. */
size_t bv_branches_moving(const bv_branches *branches,
                          size_t list[BV_OBJECTIVES_MOST]);

#endif
