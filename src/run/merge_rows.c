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

/* True where a is nowhere worse than b. */
static bool covers(const bv_merge *merge, const bv_row *a, const bv_row *b) {
  for (size_t i = 0; i < merge->objectives; i++)
    if (!(a->objectives[i] <= b->objectives[i]))
      return false;
  return true;
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

static bool is_covered(const bv_merge *merge, const bv_row *r, size_t place) {
  for (size_t i = 0; i < place; i++)
    if (covers(merge, merge->row[i], r))
      return true;
  return place < merge->rows &&
         compare_objectives(merge, merge->row[place], r) == 0 &&
         compare_rest(merge, merge->row[place], r) <= 0;
}

static void drop_covered(bv_merge *merge, const bv_row *r, size_t place) {
  size_t kept = place;
  for (size_t i = place; i < merge->rows; i++)
    if (covers(merge, r, merge->row[i]))
      drop_row(merge, merge->row[i]);
    else
      merge->row[kept++] = merge->row[i];
  merge->rows = kept;
}

static bool make_room(bv_merge *merge) {
  if (merge->rows < merge->row_room)
    return true;
  size_t room = merge->row_room ? 2 * merge->row_room : 256;
  bv_row **rows = realloc(merge->row, room * sizeof *rows);
  if (!rows)
    return false;
  merge->row = rows;
  merge->row_room = room;
  return true;
}

bool bv_merge_offer(bv_merge *merge, bv_row *r) {
  size_t place = place_of(merge, r);
  if (!make_room(merge))
    return false;
  if (is_covered(merge, r, place)) {
    drop_row(merge, r);
    return true;
  }
  drop_covered(merge, r, place);
  memmove(&merge->row[place + 1], &merge->row[place],
          (merge->rows - place) * sizeof(bv_row *));
  merge->row[place] = r;
  merge->rows++;
  return true;
}
