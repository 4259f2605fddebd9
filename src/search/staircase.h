/* SPDX-License-Identifier: MIT */
/* The nondominated points of two objectives, sorted: as the first rises the
 * second falls. A list of blocks: a search is a bisection, an insertion moves
 * at most one block, the neighbours of a step lie beside it. */
#ifndef BV_SEARCH_STAIRCASE_H
#define BV_SEARCH_STAIRCASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct bv_stair {
  double first, second; /* objectives, smaller is better */
  size_t slot;          /* the caller's number of the point */
} bv_stair;

/* A step by its slot, and the slots beside it: whoever knows a step finds its
 * neighbours without a search. */
typedef struct bv_stair_link {
  double first, second;
  uint32_t left, right; /* BV_STAIR_NONE past an end */
} bv_stair_link;

enum { BV_STAIR_NONE = UINT32_MAX };

/* Steps a block holds: large enough that there are few blocks, small enough
 * that moving half of one costs little. */
enum { BV_STAIR_BLOCK = 128 };

/* Below this an area may have lost digits. */
#define BV_STAIR_AREA_LEAST 1e-290

typedef struct bv_stair_block {
  size_t count; /* never 0 */
  double
      widest; /* no step here spans a larger area with the one before it, or
                 what the owner of the staircase makes of areas, never more */
  bv_stair steps[BV_STAIR_BLOCK];
} bv_stair_block;

/* Start from {0}. */
typedef struct bv_staircase {
  size_t count, blocks, room;
  bv_stair_block **block;
  bv_stair *last;      /* of each block: what a search looks at first */
  bv_stair_link *link; /* by slot; of use where no two steps share one */
  size_t links;        /* room for them */
} bv_staircase;

void bv_staircase_free(bv_staircase *staircase);

/* A place in the staircase. */
typedef struct bv_stair_place {
  size_t block, index;
} bv_stair_place;

/* Adds a point unless one is at least as good in both objectives, and removes
 * those it makes useless: their slots are put in removed[0 … *removed_count -
 * 1] (room for count of them). Returns the area gained up to the reference, -1
 * where the point wasn't added. */
double bv_staircase_insert(bv_staircase *staircase, bv_stair point,
                           const double reference[2], size_t *removed,
                           size_t *removed_count);

/* The step at a place, NULL past either end: places past the last step are
 * {blocks, 0}, before the first {SIZE_MAX, 0}. */
static inline const bv_stair *bv_staircase_at(const bv_staircase *staircase,
                                              bv_stair_place place) {
  return place.block < staircase->blocks
             ? &staircase->block[place.block]->steps[place.index]
             : NULL;
}

/* The area two neighbours span, no less than it is. */
static inline double bv_stair_area(const bv_stair *left,
                                   const bv_stair *right) {
  double area = (right->first - left->first) * (left->second - right->second);
  return area > BV_STAIR_AREA_LEAST ? area : BV_STAIR_AREA_LEAST;
}

/* The first step and the last, the next one and the one before. */
static inline bv_stair_place bv_staircase_begin(const bv_staircase *staircase) {
  (void) staircase;
  return (bv_stair_place){0};
}

static inline bv_stair_place bv_staircase_next(const bv_staircase *staircase,
                                               bv_stair_place place) {
  if (place.index + 1 < staircase->block[place.block]->count)
    return (bv_stair_place){place.block, place.index + 1};
  return (bv_stair_place){place.block + 1, 0};
}

static inline bv_stair_place bv_staircase_before(const bv_staircase *staircase,
                                                 bv_stair_place place) {
  if (place.index > 0)
    return (bv_stair_place){place.block, place.index - 1};
  if (place.block == 0)
    return (bv_stair_place){SIZE_MAX, 0};
  return (bv_stair_place){place.block - 1,
                          staircase->block[place.block - 1]->count - 1};
}

static inline bv_stair_place bv_staircase_last(const bv_staircase *staircase) {
  return bv_staircase_before(staircase, (bv_stair_place){staircase->blocks, 0});
}

/* How far a point is ahead, as ahead.h has it. */
double bv_staircase_lead(const bv_staircase *staircase, const double point[2],
                         const double scale[2]);

/* How far a point is behind (bv_archive_behind). */
double bv_staircase_behind(const bv_staircase *staircase, const double point[2],
                           const bool moves[2], const double scale[2]);

#endif
