/* SPDX-License-Identifier: MIT */
/* The rows of a merged front: none dominates another. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "run/merge_state.h"

void bv_row_free(bv_row *r, size_t count) {
  for (size_t i = 0; r->values && i < count; i++)
    free(r->values[i].text);
  free(r->values);
  free(r->case_name);
  free(r);
}

static void drop_row(const bv_merge *merge, bv_row *r) {
  bv_row_free(r, merge->layout[r->layout].count);
}

static int compare_numbers(double a, double b) {
  if (isnan(a) || isnan(b))
    return (int) isnan(a) - (int) isnan(b);
  return a < b ? -1 : a > b;
}

/* Orders rows of equal objectives: by case, number there, then what they hold,
 * so that of two the same one stays whatever comes first. */
static int compare_rest(const bv_merge *merge, const bv_row *a,
                        const bv_row *b) {
  int order = strcmp(a->case_name, b->case_name);
  if (order == 0)
    order = compare_numbers(a->number, b->number);
  if (order == 0 && a->layout != b->layout)
    return bv_layout_compare(&merge->layout[a->layout],
                             &merge->layout[b->layout]);
  for (size_t i = 0; order == 0 && i < merge->layout[a->layout].count; i++) {
    const bv_value *x = &a->values[i], *y = &b->values[i];
    order = strcmp(x->text ? x->text : "", y->text ? y->text : "");
    if (order == 0)
      order = compare_numbers(x->number, y->number);
  }
  return order;
}

static int compare_objectives(const bv_merge *merge, const bv_row *a,
                              const bv_row *b) {
  int order = 0;
  for (size_t i = 0; i < merge->objectives && order == 0; i++)
    order = compare_numbers(a->objectives[i], b->objectives[i]);
  return order;
}

/* Where a row belongs among those that are held. */
static size_t place_of(const bv_merge *merge, const bv_row *r) {
  size_t lo = 0, hi = merge->rows;
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    if (compare_objectives(merge, merge->row[middle], r) < 0)
      lo = middle + 1;
    else
      hi = middle;
  }
  return lo;
}

static bool grow(void **array, size_t room, size_t size) {
  void *grown = reallocarray(*array, room, size);
  if (grown)
    *array = grown;
  return grown != NULL;
}

static bool make_room(bv_merge *merge) {
  size_t room = merge->row_room ? 2 * merge->row_room : 256;
  if (merge->rows < merge->row_room && merge->slots < merge->row_room)
    return true;
  if (!grow((void **) &merge->row, room, sizeof *merge->row) ||
      !grow((void **) &merge->slot, room, sizeof *merge->slot) ||
      !grow((void **) &merge->removed, room, sizeof *merge->removed))
    return false;
  merge->row_room = room;
  return true;
}

/* Of two equal rows the first stays, in the same place and slot. */
static void settle_equal(bv_merge *merge, bv_row *r, size_t place) {
  bv_row *held = merge->row[place];
  if (compare_rest(merge, held, r) <= 0) {
    drop_row(merge, r);
    return;
  }
  r->slot = held->slot;
  merge->slot[r->slot] = merge->row[place] = r;
  drop_row(merge, held);
}

static void let_go(bv_merge *merge, bv_row *r) {
  size_t place = place_of(merge, r);
  merge->rows--;
  memmove(&merge->row[place], &merge->row[place + 1],
          (merge->rows - place) * sizeof(bv_row *));
  drop_row(merge, r);
}

static void hold(bv_merge *merge, bv_row *r) {
  size_t removed;
  r->slot = merge->slots++;
  merge->slot[r->slot] = r;
  merge->tree.objectives = merge->objectives;
  bv_tree_insert(&merge->tree, r->objectives, r->slot, merge->removed,
                 &removed);
  for (size_t i = 0; i < removed; i++)
    let_go(merge, merge->slot[merge->removed[i]]);
  size_t place = place_of(merge, r);
  memmove(&merge->row[place + 1], &merge->row[place],
          (merge->rows - place) * sizeof(bv_row *));
  merge->row[place] = r;
  merge->rows++;
}

bool bv_merge_offer(bv_merge *merge, bv_row *r) {
  static const double scale[BV_OBJECTIVES_MOST] = {1, 1, 1, 1, 1, 1};
  size_t place = place_of(merge, r);
  if (!make_room(merge))
    return false;
  if (place < merge->rows &&
      compare_objectives(merge, merge->row[place], r) == 0)
    settle_equal(merge, r, place);
  else if (bv_tree_lead(&merge->tree, r->objectives, scale) <= 0)
    drop_row(merge, r);
  else
    hold(merge, r);
  return true;
}
