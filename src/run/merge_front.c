/* SPDX-License-Identifier: MIT */
/* The table of a merged front. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "run/merge_state.h"
#include "search/hypervolume.h"

static bv_status no_memory(bv_error *error) {
  return bv_fail(error, BV_INTERNAL, "out of memory for the merged front");
}

static int compare_layouts(const void *a, const void *b) {
  return bv_layout_compare(*(bv_layout *const *) a, *(bv_layout *const *) b);
}

/* All columns, those of the widest layout first. */
static bool join_layouts(const bv_merge *merge, bv_layout *all) {
  *all = (bv_layout){0};
  bv_layout **sorted = calloc(merge->layouts + 1, sizeof *sorted);
  bool joined = sorted != NULL;
  for (size_t i = 0; joined && i < merge->layouts; i++)
    sorted[i] = &merge->layout[i];
  if (joined)
    qsort(sorted, merge->layouts, sizeof *sorted, compare_layouts);
  for (size_t i = 0; joined && i < merge->layouts; i++)
    joined = bv_layout_join(all, sorted[i]);
  free(sorted);
  if (!joined)
    bv_layout_free(all);
  return joined;
}

static const bv_column leading[] = {
    {"row", "", "identifies the design in this file", BV_ROLE_ID, false,
     -HUGE_VAL, HUGE_VAL},
    {"case", "", "case of the sweep", BV_ROLE_RESULT, true, -HUGE_VAL,
     HUGE_VAL},
    {"case_row", "", "row in the front of that case", BV_ROLE_RESULT, false,
     -HUGE_VAL, HUGE_VAL}};

enum { LEADING = sizeof leading / sizeof *leading };

static bool copy_columns(const bv_layout *all, bv_front *front) {
  bool copied = true;
  for (size_t i = 0; i < front->columns && copied; i++)
    copied =
        bv_column_copy(i < LEADING ? &leading[i] : &all->columns[i - LEADING],
                       &front->column[i]);
  return copied;
}

/* A number stands as a text where another front has texts in its column. */
static bool copy_value(const bv_value *value, const bv_column *from,
                       const bv_column *to, bv_value *copy) {
  char number[BV_NUMBER_SIZE];
  const char *text = value->text;
  if (to->is_text && !from->is_text && !isnan(value->number))
    text = bv_format_number(number, value->number);
  *copy = (bv_value){value->number, bv_text_copy(text)};
  return !text || copy->text;
}

static bool copy_row(const bv_merge *merge, size_t i, const bv_layout *all,
                     bv_front *front) {
  const bv_row *r = merge->row[i];
  const bv_layout *layout = &merge->layout[r->layout];
  bv_value *values = bv_front_value(front, i, 0);
  values[0].number = (double) i + 1;
  values[1].text = strdup(r->case_name);
  values[2].number = r->number;
  bool copied = values[1].text && all->columns;
  for (size_t c = 0; c < layout->count && copied; c++) {
    size_t at = bv_layout_find(all, &layout->columns[c]);
    copied = copy_value(&r->values[c], &layout->columns[c], &all->columns[at],
                        &values[LEADING + at]);
  }
  return copied;
}

static void copy_origin(const bv_origin *origin, bv_origin *copy) {
  *copy = *origin;
  copy->title = bv_text_copy(origin->title);
  copy->study = bv_text_copy(origin->study);
  copy->version = bv_text_copy(origin->version);
  copy->digest = bv_text_copy(origin->digest);
}

/* Objectives of all rows, one row after the other; NULL: out of memory. */
static double *gather(const bv_merge *merge, double *best, double *worst) {
  size_t n = merge->objectives;
  double *points = calloc(merge->rows * n + 1, sizeof *points);
  for (size_t j = 0; j < n; j++) {
    best[j] = HUGE_VAL;
    worst[j] = -HUGE_VAL;
  }
  for (size_t i = 0; points && i < merge->rows * n; i++) {
    points[i] = merge->row[i / n]->objectives[i % n];
    best[i % n] = fmin(best[i % n], points[i]);
    worst[i % n] = fmax(worst[i % n], points[i]);
  }
  return points;
}

static bool measure(const bv_merge *merge, bv_origin *origin) {
  size_t n = merge->objectives;
  double best[BV_OBJECTIVES_MOST], worst[BV_OBJECTIVES_MOST];
  if (merge->rows == 0)
    return true;
  double *points = gather(merge, best, worst);
  if (!points)
    return false;
  bool finite = true;
  for (size_t i = 0; i < merge->rows * n; i++)
    finite = finite && isfinite(points[i]);
  if (finite) {
    bv_hypervolume_reference(best, worst, n, origin->reference);
    origin->reference_count = n;
    bv_volume volume =
        bv_hypervolume_told(points, merge->rows, n, origin->reference);
    origin->hypervolume = volume.value;
    origin->is_estimate = volume.is_estimate;
  }
  free(points);
  return true;
}

static bool fill(const bv_merge *merge, const bv_layout *all, bv_front *front) {
  bool filled = copy_columns(all, front);
  for (size_t i = 0; i < merge->rows && filled; i++)
    filled = copy_row(merge, i, all, front);
  copy_origin(&merge->origin, &front->origin);
  return filled && measure(merge, &front->origin);
}

bv_status bv_merge_front(const bv_merge *merge, bv_front *front,
                         bv_error *error) {
  bv_layout all;
  if (!join_layouts(merge, &all))
    return no_memory(error);
  bv_status status =
      bv_front_make(front, LEADING + all.count, merge->rows, error);
  if (status == BV_OK && !fill(merge, &all, front)) {
    bv_front_free(front);
    status = no_memory(error);
  }
  bv_layout_free(&all);
  return status;
}
