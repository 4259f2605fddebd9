/* SPDX-License-Identifier: MIT */
/* The nondominated points of two objectives, sorted: as the first rises the
 * second falls. A list of blocks: a search is a bisection, an insertion moves
 * at most one block, the neighbours of a step lie beside it. */
#ifndef BV_SEARCH_STAIRCASE_H
#define BV_SEARCH_STAIRCASE_H

#include <stdbool.h>
#include <stddef.h>

typedef struct bv_stair {
  double first, second; /* objectives, smaller is better */
  size_t slot;          /* whatever the caller calls the point */
} bv_stair;

typedef struct bv_stair_block bv_stair_block;

/* Start from {0}. */
typedef struct bv_staircase {
  size_t count, blocks, room;
  bv_stair_block **block;
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

/* The first step and the last, the next one and the one before; the step at a
 * place, NULL past either end. */
bv_stair_place bv_staircase_begin(const bv_staircase *staircase);
bv_stair_place bv_staircase_last(const bv_staircase *staircase);
bv_stair_place bv_staircase_next(const bv_staircase *staircase,
                                 bv_stair_place place);
bv_stair_place bv_staircase_before(const bv_staircase *staircase,
                                   bv_stair_place place);
const bv_stair *bv_staircase_at(const bv_staircase *staircase,
                                bv_stair_place place);

/* The steps of a block, *count of them in a row, never none: the quick way
 * through all blocks < staircase->blocks. */
const bv_stair *bv_staircase_block(const bv_staircase *staircase, size_t block,
                                   size_t *count);

/* The first step whose first objective is at least `first`. */
bv_stair_place bv_staircase_find(const bv_staircase *staircase, double first);

/* How far a point is ahead, as bv_tree_lead has it. */
double bv_staircase_lead(const bv_staircase *staircase, const double point[2],
                         const double scale[2]);

/* The first step that isn't `before`, which holds for all steps up to some
 * place and for none from there on. */
typedef bool (*bv_stair_before)(const void *context, const bv_stair *step);
bv_stair_place bv_staircase_part(const bv_staircase *staircase,
                                 bv_stair_before before, const void *context);

#endif
