/* SPDX-License-Identifier: MIT */
/* The inside of a merge. Private to the merge_… files. */
#ifndef BV_RUN_MERGE_STATE_H
#define BV_RUN_MERGE_STATE_H

#include "run/layout.h"
#include "run/merge.h"
#include "search/problem.h"
#include "search/tree.h"

typedef struct bv_row {
  size_t layout; /* index */
  bv_value *values;
  char *case_name;
  double number;                         /* in the front of its case */
  size_t slot;                           /* in the tree */
  double objectives[BV_OBJECTIVES_MOST]; /* smaller is better */
} bv_row;

struct bv_merge {
  bv_origin origin; /* of the first front */
  size_t layouts, rows, row_room;
  bv_layout *layout;
  bv_row **row; /* none dominates another; in rising order of the objectives */
  bv_tree tree; /* of the same rows */
  size_t slots; /* given out: one a row that was ever held */
  bv_row **slot;
  size_t *removed; /* room for slots; row_room of each */
  size_t objectives;
  bv_column objective[BV_OBJECTIVES_MOST]; /* names and units are owned */
};

/* Frees a row of so many values. */
void bv_row_free(bv_row *row, size_t count);

/* Holds a row that none covers, and lets those go that it covers; or lets it
 * go. Of rows with equal objectives one is held: the first by case, number
 * there and values. False: out of memory, the row is still the caller's. */
bool bv_merge_offer(bv_merge *merge, bv_row *row);

/* A copy of a text, NULL of NULL. */
char *bv_text_copy(const char *text);

#endif
