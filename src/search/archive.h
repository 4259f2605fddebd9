/* SPDX-License-Identifier: MIT */
/* The archive: every point that no other point dominates. */
#ifndef BV_SEARCH_ARCHIVE_H
#define BV_SEARCH_ARCHIVE_H

#include "search/groups.h"
#include "search/keys.h"
#include "search/problem.h"
#include "search/staircase.h"
#include "search/tree.h"
#include "search/yardstick.h"

typedef struct bv_archive {
  const bv_problem *problem;
  size_t count;  /* points held */
  size_t slots;  /* slots ever used */
  size_t room;   /* slots allocated */
  size_t stride; /* numbers of a slot in data */
  double *data;  /* a slot: x, limits */
  /* A slot: its objectives, and its x in units, apart because most is asked of
   * them. */
  double *objectives, *units;
  uint32_t *tries; /* a slot: how often its gap was aimed at */
  size_t *live;    /* slots in use, in no order, count of them; then free */
  size_t *place;   /* a slot: where it stands in live */
  size_t *removed, removed_count; /* slots that the last offer drove off; what
                                     they held stays until the next one */
  uint64_t version;               /* changes with every change */
  double advance; /* how far points were ahead of those they replaced, the
                     largest lead of each in ranges, in all */
  double best[BV_OBJECTIVES_MOST]; /* least of each objective, INFINITY: none */
  bv_staircase staircase;          /* of one and two objectives */
  bv_tree tree;                    /* of more */
  bv_keys keys;
  bv_groups branches; /* slots by branch, where there is more than one, … */
  size_t *ends; /* … and what bv_archive_end tells: a branch, objective */
} bv_archive;

void bv_archive_init(bv_archive *archive, const bv_problem *problem);
void bv_archive_free(bv_archive *archive);

/* Offers a feasible point. Returns -1 where a point of the archive is at least
 * as good, else the gain: for one and two objectives the hypervolume gained as
 * a share of the yardstick's box, for m objectives the m-th power of the lead
 * (ahead.h, at most 1). */
double bv_archive_offer(bv_archive *archive, const double *x,
                        const double *objectives, const double *limits,
                        const bv_yardstick *yardstick);

/* How far objectives would be ahead of the archive (ahead.h). */
double bv_archive_lead(const bv_archive *archive, const double *objectives,
                       const double *scale);

/* Lowers a lead by the points of the archive. */
void bv_archive_lower(const bv_archive *archive, bv_ahead *ahead);

/* How far objectives are behind the archive: the least by which all of those
 * that can move would have to fall, in scales, for no point to be better in
 * each of them and as good in the others; 0 where it is so. */
double bv_archive_behind(const bv_archive *archive, const double *objectives,
                         const bool *moves, const double *scale);

/* A slot's point; slots are archive->live[0 … count - 1]. */
static inline const double *bv_archive_x(const bv_archive *archive,
                                         size_t slot) {
  return archive->data + slot * archive->stride;
}

static inline const double *bv_archive_objectives(const bv_archive *archive,
                                                  size_t slot) {
  return archive->objectives + slot * archive->problem->objectives;
}

static inline const double *bv_archive_limits(const bv_archive *archive,
                                              size_t slot) {
  return bv_archive_x(archive, slot) + archive->problem->space.count;
}

static inline const double *bv_archive_units(const bv_archive *archive,
                                             size_t slot) {
  return archive->units + slot * archive->problem->space.count;
}

/* The slots of the points on the same branch (keys.h) as a slot's, itself
 * among them: *count of them, in no order; all where there is one branch. */
const size_t *bv_archive_branch(const bv_archive *archive, size_t slot,
                                size_t *count);

/* The slot that has least of an objective on a branch that holds points, where
 * there is more than one branch. */
static inline size_t bv_archive_end(const bv_archive *archive, size_t branch,
                                    size_t objective) {
  return archive->ends[branch * archive->problem->objectives + objective];
}

/* The largest value of each objective; count must not be 0. */
void bv_archive_worst(const bv_archive *archive, double *worst);

/* The objectives of every point, count * objectives numbers; freed by the
 * caller. */
double *bv_archive_copy_objectives(const bv_archive *archive);

#endif
