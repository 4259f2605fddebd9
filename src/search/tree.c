/* SPDX-License-Identifier: MIT */
#include "search/tree.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "search/memory.h"

/* Points a bucket holds. */
enum { BUCKET = 16, NONE = UINT32_MAX };

typedef struct item {
  double point[BV_OBJECTIVES_MOST];
  size_t slot;
} item;

/* A bucket where `split` is NONE, else two nodes parted at `value` of objective
 * `split`, which hold `count` points together. The box holds every point below;
 * it may be larger than needed. */
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

static void empty(const bv_tree *tree, bv_tree_node *node) {
  node->split = NONE;
  node->count = 0;
  for (size_t j = 0; j < tree->objectives; j++) {
    node->lo[j] = HUGE_VAL;
    node->hi[j] = -HUGE_VAL;
  }
}

/* The place of a new bucket: one given back, or a new one. */
static uint32_t new_bucket(bv_tree *tree) {
  if (tree->spare > 0) {
    uint32_t at = tree->first_spare;
    tree->first_spare = tree->node[at].child[0];
    tree->spare--;
    return at;
  }
  if (tree->nodes == tree->room) {
    size_t room = tree->room;
    tree->node = bv_grow(tree->node, &room, sizeof *tree->node);
    tree->room = (uint32_t) room;
  }
  empty(tree, &tree->node[tree->nodes]);
  return tree->nodes++;
}

static void give_back(bv_tree *tree, uint32_t at) {
  empty(tree, &tree->node[at]);
  tree->node[at].child[0] = tree->first_spare;
  tree->first_spare = at;
  tree->spare++;
}

/* Beyond a box's middle is the farther half. */
static int nearer_half(const bv_ahead *a, const bv_tree_node *node) {
  return a->point[node->split] >= node->value;
}

static void lower(const bv_tree *tree, uint32_t at, bv_ahead *a) {
  const bv_tree_node *node = &tree->node[at];
  if (node->split == NONE) {
    for (uint32_t i = 0; i < node->count && a->lead > 0; i++)
      bv_ahead_meet(a, node->items[i].point);
    return;
  }
  int nearer = nearer_half(a, node);
  for (int k = 0; k < 2 && a->lead > 0; k++) {
    uint32_t child = node->child[k ? !nearer : nearer];
    if (!bv_ahead_is_beyond(a, tree->node[child].lo))
      lower(tree, child, a);
  }
}

void bv_tree_lower(const bv_tree *tree, bv_ahead *ahead) {
  if (tree->count > 0)
    lower(tree, 0, ahead);
}

double bv_tree_lead(const bv_tree *tree, const double *point,
                    const double *scale) {
  bv_ahead a = bv_ahead_begin(point, scale, tree->objectives, HUGE_VAL);
  bv_tree_lower(tree, &a);
  return a.lead;
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
    worst[j] = tree->knows_worst ? tree->worst[j] : -HUGE_VAL;
  if (!tree->knows_worst && tree->count > 0)
    find_worst(tree, 0, worst);
}

static bool holds_worst(const bv_tree *tree, const double *point) {
  bool holds = false;
  for (size_t j = 0; j < tree->objectives; j++)
    holds |= point[j] == tree->worst[j];
  return holds;
}

/* True where a is nowhere worse than b. */
static bool covers(const bv_tree *tree, const double *a, const double *b) {
  for (size_t j = 0; j < tree->objectives; j++)
    if (a[j] > b[j])
      return false;
  return true;
}

/* Gives how many points below were removed. */
static uint32_t remove_covered(bv_tree *tree, uint32_t at, const double *point,
                               size_t *removed, size_t *count) {
  bv_tree_node *node = &tree->node[at];
  if (!covers(tree, point, node->hi))
    return 0;
  uint32_t before = node->count;
  for (int k = 0; node->split != NONE && k < 2; k++)
    node->count -= remove_covered(tree, node->child[k], point, removed, count);
  for (uint32_t i = 0; node->split == NONE && i < node->count;)
    if (covers(tree, point, node->items[i].point)) {
      removed[(*count)++] = node->items[i].slot;
      tree->knows_worst &= !holds_worst(tree, node->items[i].point);
      node->items[i] = node->items[--node->count];
    } else {
      i++;
    }
  return before - node->count;
}

static void extend_box(const bv_tree *tree, bv_tree_node *node,
                       const double *point) {
  for (size_t j = 0; j < tree->objectives; j++) {
    node->lo[j] = bv_smaller(node->lo[j], point[j]);
    node->hi[j] = bv_larger(node->hi[j], point[j]);
  }
}

/* The objective in which points lie farthest apart. */
static uint32_t widest(const bv_tree *tree, const item *items, size_t count) {
  uint32_t best = 0;
  double width = -1;
  for (uint32_t j = 0; j < tree->objectives; j++) {
    double lo = HUGE_VAL, hi = -HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
      lo = bv_smaller(lo, items[i].point[j]);
      hi = bv_larger(hi, items[i].point[j]);
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
  uint32_t objective = widest(tree, node->items, node->count);
  sort_items(node->items, node->count, objective);
  for (uint32_t i = 0; i < node->count; i++)
    add_item(tree, &tree->node[child[i >= node->count / 2]], &node->items[i]);
  node->split = objective;
  node->value = node->items[node->count / 2].point[objective];
  memcpy(node->child, child, sizeof child);
}

/* Moves the points below a node to items, and gives back all but the node. */
static size_t collect(bv_tree *tree, uint32_t at, item *items) {
  bv_tree_node *node = &tree->node[at];
  if (node->split == NONE) {
    memcpy(items, node->items, node->count * sizeof *items);
    return node->count;
  }
  size_t count = 0;
  for (int k = 0; k < 2; k++) {
    count += collect(tree, node->child[k], items + count);
    give_back(tree, node->child[k]);
  }
  return count;
}

static int by_objective(const void *a, const void *b, void *objective) {
  size_t j = *(uint32_t *) objective;
  double first = ((const item *) a)->point[j];
  double second = ((const item *) b)->point[j];
  return (first > second) - (first < second);
}

/* Puts points below an empty node, half of them in each child. */
static void fill(bv_tree *tree, uint32_t at, item *items, size_t count) {
  if (count <= BUCKET) {
    for (size_t i = 0; i < count; i++)
      add_item(tree, &tree->node[at], &items[i]);
    return;
  }
  uint32_t objective = widest(tree, items, count);
  qsort_r(items, count, sizeof *items, by_objective, &objective);
  uint32_t child[2] = {new_bucket(tree), new_bucket(tree)};
  size_t half = count / 2;
  bv_tree_node *node = &tree->node[at];
  for (size_t i = 0; i < count; i++)
    extend_box(tree, node, items[i].point);
  node->split = objective;
  node->count = (uint32_t) count;
  node->value = items[half].point[objective];
  memcpy(node->child, child, sizeof child);
  fill(tree, child[0], items, half);
  fill(tree, child[1], items + half, count - half);
}

/* Points that come in order make a long branch: what is below a node gets two
 * halves again. */
static void balance(bv_tree *tree, uint32_t at) {
  item *items = bv_allocate(tree->node[at].count, sizeof *items);
  size_t count = collect(tree, at, items);
  empty(tree, &tree->node[at]);
  fill(tree, at, items, count);
  free(items);
}

/* True where nearly all points below a node would be in one child (Galperin and
 * Rivest 1993, with room for what ordinary points do to each other). */
static bool is_lopsided(const bv_tree *tree, const bv_tree_node *node,
                        uint32_t child) {
  return tree->node[child].count > node->count / 8 * 7 + 4 * BUCKET;
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
    if (node->split == NONE)
      split_bucket(tree, at);
    else if (is_lopsided(tree, node, node->child[0]) ||
             is_lopsided(tree, node, node->child[1]))
      balance(tree, at);
    node = &tree->node[at];
    node->count++;
    extend_box(tree, node, new->point);
    at = node->child[new->point[node->split] >= node->value];
  }
}

/* Removed points leave empty buckets and boxes that are too large; once they
 * outnumber what is left, the tree is made anew. */
static void build_anew(bv_tree *tree) {
  bv_tree old = *tree;
  *tree =
      (bv_tree){.objectives = old.objectives, .knows_worst = old.knows_worst};
  memcpy(tree->worst, old.worst, sizeof tree->worst);
  for (uint32_t n = 0; n < old.nodes; n++)
    if (old.node[n].split == NONE)
      for (uint32_t i = 0; i < old.node[n].count; i++)
        add(tree, &old.node[n].items[i]);
  free(old.node);
}

void bv_tree_insert(bv_tree *tree, const double *point, size_t slot,
                    size_t *removed, size_t *removed_count) {
  *removed_count = 0;
  bv_tree_worst(tree, tree->worst);
  tree->knows_worst = true; /* until a point goes that holds it */
  if (tree->count > 0)
    remove_covered(tree, 0, point, removed, removed_count);
  tree->count -= *removed_count;
  tree->removed += *removed_count;
  if (tree->removed > tree->count + (size_t) 4 * BUCKET)
    build_anew(tree);
  item new = {.slot = slot};
  memcpy(new.point, point, tree->objectives * sizeof *point);
  for (size_t j = 0; j < tree->objectives; j++)
    tree->worst[j] = bv_larger(tree->worst[j], point[j]);
  add(tree, &new);
}
