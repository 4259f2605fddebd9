/* SPDX-License-Identifier: MIT */
#include "run/best.h"

#include <stdlib.h>

#include "search/memory.h"
#include "search/tree.h"

/* Puts a row among the best unless one of them is as good, and marks what it
 * dominates in its turn. */
static void offer(bv_tree *tree, const bv_candidate *rows, size_t row,
                  bool *is_best, size_t *removed) {
  const double *point = rows[row].told->objectives;
  double scale[BV_OBJECTIVES_MOST]; /* any: the sign alone matters */
  for (size_t j = 0; j < tree->objectives; j++)
    scale[j] = 1;
  size_t count;
  is_best[row] = bv_tree_lead(tree, point, scale) > 0;
  if (!is_best[row])
    return;
  bv_tree_insert(tree, point, row, removed, &count);
  for (size_t i = 0; i < count; i++)
    is_best[removed[i]] = false;
}

size_t bv_best(size_t objectives, bv_candidate *rows, size_t count) {
  bv_tree tree = {.objectives = objectives};
  bool *is_best = bv_allocate(count + 1, sizeof *is_best);
  size_t *removed = bv_allocate(count + 1, sizeof *removed), kept = 0;
  for (size_t i = 0; i < count; i++)
    offer(&tree, rows, i, is_best, removed);
  for (size_t i = 0; i < count; i++)
    if (is_best[i])
      rows[kept++] = rows[i];
  bv_tree_free(&tree);
  free(removed);
  free(is_best);
  return kept;
}
