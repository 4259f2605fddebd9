/* SPDX-License-Identifier: MIT */
/* The nondominated points of three and more objectives: a k-d tree of buckets
 * (J. Bentley, CACM 18(9), 1975) whose nodes know the box of what is below
 * them, so that most of the tree is passed over at an insertion. */
#ifndef BV_SEARCH_TREE_H
#define BV_SEARCH_TREE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "search/ahead.h"

typedef struct bv_tree_node bv_tree_node;

/* Start from {.objectives = m}. */
typedef struct bv_tree {
  size_t objectives;
  size_t count;   /* points */
  size_t removed; /* since the tree was last built anew */
  uint32_t nodes, room;
  uint32_t spare, first_spare; /* nodes given back, a list */
  /* The largest value of each objective, unless a point left that held one. */
  bool knows_worst;
  double worst[BV_OBJECTIVES_MOST];
  bv_tree_node *node;
} bv_tree;

void bv_tree_free(bv_tree *tree);

/* How far a point is ahead of those in the tree (ahead.h); INFINITY for an
 * empty tree. */
double bv_tree_lead(const bv_tree *tree, const double *point,
                    const double *scale);

/* Lowers a lead by those in the tree. */
void bv_tree_lower(const bv_tree *tree, bv_ahead *ahead);

/* How far a point is behind (bv_archive_behind). */
double bv_tree_behind(const bv_tree *tree, const double *point,
                      const bool *moves, const double *scale);

/* The largest value of each objective; -INFINITY for an empty tree. */
void bv_tree_worst(const bv_tree *tree, double *worst);

/* Adds a point that no other dominates and removes those it dominates: their
 * slots are put in removed (room for count of them). */
void bv_tree_insert(bv_tree *tree, const double *point, size_t slot,
                    size_t *removed, size_t *removed_count);

#endif
