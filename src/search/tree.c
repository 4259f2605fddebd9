/* SPDX-License-Identifier: MIT */
#include "search/tree.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "search/memory.h"
#include "search/yardstick.h"

/* Points a bucket holds. */
enum { BUCKET = 16, NONE = UINT32_MAX };

typedef struct item {
  double point[BV_OBJECTIVES_MOST];
  size_t slot;
} item;

/* A bucket where `split` is NONE, else two nodes parted at `value` of objective
 * `split`. The box holds every point below; it may be larger than needed. */
struct bv_tree_node {
  double lo[BV_OBJECTIVES_MOST], hi[BV_OBJECTIVES_MOST];
  uint32_t split, child[2], count;
  double value;
  item items[BUCKET];
};

void bv_tree_free(bv_tree *tree) {
  free(tree->node);
  *tree = (bv_tree){.objectives = tree->objectives};
}

static uint32_t new_bucket(bv_tree *tree) {
  if (tree->nodes == tree->room) {
    size_t room = tree->room;
    tree->node = bv_grow(tree->node, &room, sizeof *tree->node);
    tree->room = (uint32_t) room;
  }
  bv_tree_node *node = &tree->node[tree->nodes];
  node->split = NONE;
  node->count = 0;
  for (size_t j = 0; j < tree->objectives; j++) {
    node->lo[j] = HUGE_VAL;
    node->hi[j] = -HUGE_VAL;
  }
  return tree->nodes++;
}

/* A point beside the tree. */
typedef struct ahead {
  const double *point, *scale;
  size_t objectives;
  double best;                       /* the least lead so far */
  double enough[BV_OBJECTIVES_MOST]; /* what lies beyond can't lower it */
} ahead;

/* How much farther off, so that rounding doesn't matter. */
#define SLACK (1 + 1e-12)

static void lower(ahead *a, double lead) {
  if (lead >= a->best)
    return;
  a->best = lead;
  for (size_t j = 0; j < a->objectives; j++)
    a->enough[j] = lead * a->scale[j] * SLACK;
}

/* True where a point, or all points of a box from there on, can't matter. */
static bool is_beyond(const ahead *a, const double *known) {
  bool is = false; /* one branch, which is foretold more often than many */
  for (size_t j = 0; j < a->objectives; j++)
    is |= known[j] - a->point[j] > a->enough[j];
  return is;
}

/* Beyond a box's middle is the farther half. */
static int nearer_half(const ahead *a, const bv_tree_node *node) {
  return a->point[node->split] >= node->value;
}

static void find_lead(const bv_tree *tree, uint32_t at, ahead *a) {
  const bv_tree_node *node = &tree->node[at];
  if (node->split == NONE) {
    for (uint32_t i = 0; i < node->count && a->best > 0; i++)
      if (!is_beyond(a, node->items[i].point))
        lower(a, bv_lead_over(node->items[i].point, a->point, a->scale,
                              a->objectives));
    return;
  }
  int nearer = nearer_half(a, node);
  for (int k = 0; k < 2 && a->best > 0; k++) {
    uint32_t child = node->child[k ? !nearer : nearer];
    if (!is_beyond(a, tree->node[child].lo))
      find_lead(tree, child, a);
  }
}

double bv_tree_lead(const bv_tree *tree, const double *point,
                    const double *scale) {
  ahead a = {point, scale, tree->objectives, HUGE_VAL, {0}};
  for (size_t j = 0; j < tree->objectives; j++)
    a.enough[j] = HUGE_VAL;
  if (tree->count > 0)
    find_lead(tree, 0, &a);
  return a.best;
}

typedef struct standing {
  const double *point, *scale;
  const bool *moves;
} standing;

/* The shift of the moving objectives that brings the point beside one that is
 * known, or ahead of all in a box from there on; 0 where it is. */
static double shift(const bv_tree *tree, const standing *s,
                    const double *known) {
  double least = HUGE_VAL;
  for (size_t j = 0; j < tree->objectives; j++) {
    if (known[j] > s->point[j])
      return 0;
    if (s->moves[j])
      least = bv_smaller(least, (s->point[j] - known[j]) / s->scale[j]);
  }
  return least;
}

static void find_behind(const bv_tree *tree, uint32_t at, const standing *s,
                        double *most) {
  const bv_tree_node *node = &tree->node[at];
  if (shift(tree, s, node->lo) <= *most)
    return;
  if (node->split == NONE) {
    for (uint32_t i = 0; i < node->count; i++)
      *most = bv_larger(*most, shift(tree, s, node->items[i].point));
    return;
  }
  find_behind(tree, node->child[0], s, most);
  find_behind(tree, node->child[1], s, most);
}

double bv_tree_behind(const bv_tree *tree, const double *point,
                      const bool *moves, const double *scale) {
  standing s = {point, scale, moves};
  double most = 0;
  if (tree->count > 0)
    find_behind(tree, 0, &s, &most);
  return most;
}

static void find_worst(const bv_tree *tree, uint32_t at, double *worst) {
  const bv_tree_node *node = &tree->node[at];
  size_t m = tree->objectives, j = 0;
  while (j < m && node->hi[j] <= worst[j])
    j++;
  if (j == m)
    return;
  if (node->split != NONE) {
    /* The upper half first: its boxes tell that the lower is useless. */
    find_worst(tree, node->child[1], worst);
    find_worst(tree, node->child[0], worst);
    return;
  }
  for (uint32_t i = 0; i < node->count; i++)
    for (j = 0; j < m; j++)
      worst[j] = bv_larger(worst[j], node->items[i].point[j]);
}

void bv_tree_worst(const bv_tree *tree, double *worst) {
  for (size_t j = 0; j < tree->objectives; j++)
    worst[j] = -HUGE_VAL;
  if (tree->count > 0)
    find_worst(tree, 0, worst);
}

/* True where a is nowhere worse than b. */
static bool covers(const bv_tree *tree, const double *a, const double *b) {
  for (size_t j = 0; j < tree->objectives; j++)
    if (a[j] > b[j])
      return false;
  return true;
}

static void remove_covered(bv_tree *tree, uint32_t at, const double *point,
                           size_t *removed, size_t *count) {
  bv_tree_node *node = &tree->node[at];
  if (!covers(tree, point, node->hi))
    return;
  if (node->split != NONE) {
    remove_covered(tree, node->child[0], point, removed, count);
    remove_covered(tree, node->child[1], point, removed, count);
    return;
  }
  for (uint32_t i = 0; i < node->count;)
    if (covers(tree, point, node->items[i].point)) {
      removed[(*count)++] = node->items[i].slot;
      node->items[i] = node->items[--node->count];
    } else {
      i++;
    }
}

static void extend_box(const bv_tree *tree, bv_tree_node *node,
                       const double *point) {
  for (size_t j = 0; j < tree->objectives; j++) {
    node->lo[j] = bv_smaller(node->lo[j], point[j]);
    node->hi[j] = bv_larger(node->hi[j], point[j]);
  }
}

/* The objective in which the points of a full bucket lie farthest apart. */
static uint32_t widest(const bv_tree *tree, const bv_tree_node *node) {
  uint32_t best = 0;
  double width = -1;
  for (uint32_t j = 0; j < tree->objectives; j++) {
    double lo = HUGE_VAL, hi = -HUGE_VAL;
    for (uint32_t i = 0; i < node->count; i++) {
      lo = bv_smaller(lo, node->items[i].point[j]);
      hi = bv_larger(hi, node->items[i].point[j]);
    }
    if (hi - lo > width) {
      width = hi - lo;
      best = j;
    }
  }
  return best;
}

static void sort_items(item *items, uint32_t count, uint32_t objective) {
  for (uint32_t i = 1; i < count; i++) {
    item moving = items[i];
    uint32_t k = i;
    for (; k > 0 && items[k - 1].point[objective] > moving.point[objective];
         k--)
      items[k] = items[k - 1];
    items[k] = moving;
  }
}

static void add_item(const bv_tree *tree, bv_tree_node *node, const item *new) {
  node->items[node->count++] = *new;
  extend_box(tree, node, new->point);
}

static void split_bucket(bv_tree *tree, uint32_t at) {
  uint32_t child[2] = {new_bucket(tree), new_bucket(tree)};
  bv_tree_node *node = &tree->node[at];
  uint32_t objective = widest(tree, node);
  sort_items(node->items, node->count, objective);
  for (uint32_t i = 0; i < node->count; i++)
    add_item(tree, &tree->node[child[i >= node->count / 2]], &node->items[i]);
  node->split = objective;
  node->value = node->items[node->count / 2].point[objective];
  memcpy(node->child, child, sizeof child);
}

static void add(bv_tree *tree, const item *new) {
  if (tree->nodes == 0)
    new_bucket(tree);
  uint32_t at = 0;
  for (;;) {
    bv_tree_node *node = &tree->node[at];
    if (node->split == NONE && node->count < BUCKET) {
      add_item(tree, node, new);
      tree->count++;
      return;
    }
    if (node->split == NONE) {
      split_bucket(tree, at);
      node = &tree->node[at];
    }
    extend_box(tree, node, new->point);
    at = node->child[new->point[node->split] >= node->value];
  }
}

/* Removed points leave empty buckets and boxes that are too large; once they
 * outnumber what is left, the tree is made anew. */
static void build_anew(bv_tree *tree) {
  bv_tree old = *tree;
  *tree = (bv_tree){.objectives = old.objectives};
  for (uint32_t n = 0; n < old.nodes; n++)
    if (old.node[n].split == NONE)
      for (uint32_t i = 0; i < old.node[n].count; i++)
        add(tree, &old.node[n].items[i]);
  free(old.node);
}

void bv_tree_insert(bv_tree *tree, const double *point, size_t slot,
                    size_t *removed, size_t *removed_count) {
  *removed_count = 0;
  if (tree->count > 0)
    remove_covered(tree, 0, point, removed, removed_count);
  tree->count -= *removed_count;
  tree->removed += *removed_count;
  if (tree->removed > tree->count + (size_t) 4 * BUCKET)
    build_anew(tree);
  item new = {.slot = slot};
  memcpy(new.point, point, tree->objectives * sizeof *point);
  add(tree, &new);
}
