/* SPDX-License-Identifier: MIT */
#include "run/merge.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "run/merge_state.h"

bv_merge *bv_merge_new(void) {
  return calloc(1, sizeof(bv_merge));
}

void bv_merge_free(bv_merge *merge) {
  if (!merge)
    return;
  for (size_t i = 0; i < merge->rows; i++)
    bv_row_free(merge->row[i], merge->layout[merge->row[i]->layout].count);
  for (size_t i = 0; i < merge->layouts; i++)
    bv_layout_free(&merge->layout[i]);
  for (size_t i = 0; i < merge->objectives; i++)
    bv_column_free(&merge->objective[i]);
  bv_origin_free(&merge->origin);
  bv_tree_free(&merge->tree);
  free(merge->row);
  free(merge->slot);
  free(merge->removed);
  free(merge->layout);
  free(merge);
}

/* Whether it belongs together */

static bool is_objective(const bv_column *column) {
  return column->role == BV_ROLE_MINIMISE || column->role == BV_ROLE_MAXIMISE;
}

static bv_status no_memory(bv_error *error) {
  return bv_fail(error, BV_INTERNAL, "out of memory for the merged front");
}

char *bv_text_copy(const char *text) {
  return text ? strdup(text) : NULL;
}

static bv_status begin(bv_merge *merge, const bv_front *front,
                       bv_error *error) {
  const bv_origin *origin = &front->origin;
  merge->origin = (bv_origin){.title = bv_text_copy(origin->title),
                              .study = bv_text_copy(origin->study),
                              .version = bv_text_copy(origin->version),
                              .digest = bv_text_copy(origin->digest),
                              .seed = origin->seed,
                              .hypervolume = (double) NAN};
  for (size_t i = 0; i < front->columns; i++) {
    if (!is_objective(&front->column[i]) ||
        merge->objectives == BV_OBJECTIVES_MOST)
      continue;
    if (!bv_column_copy(&front->column[i],
                        &merge->objective[merge->objectives]))
      return no_memory(error);
    merge->objectives++;
  }
  return BV_OK;
}

static bv_status differs(const char *name, const char *what, const char *first,
                         const char *found, bv_error *error) {
  return bv_fail(error, BV_BAD_DATA,
                 "%s: doesn't belong to the others: %s: expected '%.100s', "
                 "found '%.100s'",
                 name, what, first ? first : "", found ? found : "");
}

static bool same_text(const char *a, const char *b) {
  return strcmp(a ? a : "", b ? b : "") == 0;
}

/* Objectives in their order; columns[i] is where the i-th stands. */
static bv_status find_objectives(const bv_merge *merge, const bv_front *front,
                                 const char *name, size_t *columns,
                                 bv_error *error) {
  size_t found = 0;
  for (size_t i = 0; i < front->columns; i++) {
    const bv_column *column = &front->column[i];
    if (!is_objective(column))
      continue;
    if (found == merge->objectives ||
        column->role != merge->objective[found].role ||
        strcmp(column->name, merge->objective[found].name) != 0)
      return differs(name, "objective",
                     found < merge->objectives ? merge->objective[found].name
                                               : "no more",
                     column->name, error);
    columns[found++] = i;
  }
  if (found < merge->objectives)
    return differs(name, "objective", merge->objective[found].name, "no more",
                   error);
  return BV_OK;
}

static bv_status check_origin(const bv_merge *merge, const bv_front *front,
                              const char *name, bv_error *error) {
  const bv_origin *first = &merge->origin, *found = &front->origin;
  if (bv_front_is_near(front))
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected a front, found designs near one, which miss "
                   "a limit each",
                   name);
  if (!found->digest)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected a sidecar beside it that tells study and "
                   "objectives, found none",
                   name);
  if (merge->objectives == 0)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected objectives in its sidecar, found none", name);
  if (!same_text(first->digest, found->digest))
    return differs(name, "study", first->digest, found->digest, error);
  if (!same_text(first->version, found->version))
    return differs(name, "version", first->version, found->version, error);
  return BV_OK;
}

/* Fronts */

/* The index of the layout of a front, kept once; merge->layouts: out of memory.
 */
static size_t keep_layout(bv_merge *merge, bv_layout *layout) {
  size_t i = 0;
  while (i < merge->layouts && bv_layout_compare(&merge->layout[i], layout))
    i++;
  if (i < merge->layouts) {
    bv_layout_free(layout);
    return i;
  }
  bv_layout *layouts = realloc(merge->layout, (i + 1) * sizeof *layouts);
  if (!layouts)
    return i;
  merge->layout = layouts;
  layouts[i] = *layout;
  merge->layouts++;
  return i;
}

typedef struct source {
  const bv_front *front;
  const char *name, *case_name;
  size_t layout, *places;
  size_t case_column, row_column; /* front->columns: none */
  size_t objectives[BV_OBJECTIVES_MOST];
} source;

static bool fill_row(const bv_merge *merge, const source *s, size_t i,
                     bv_row *r) {
  const bv_front *front = s->front;
  size_t count = merge->layout[s->layout].count;
  const char *name = s->case_column < front->columns
                         ? bv_front_value(front, i, s->case_column)->text
                         : s->case_name;
  r->layout = s->layout;
  r->number = s->row_column < front->columns
                  ? bv_front_value(front, i, s->row_column)->number
                  : bv_front_id(front, i);
  r->case_name = strdup(name ? name : "");
  r->values = calloc(count + 1, sizeof *r->values);
  bool filled = r->case_name && r->values;
  for (size_t c = 0; filled && c < count; c++) {
    const bv_value *value = bv_front_value(front, i, s->places[c]);
    r->values[c] = (bv_value){value->number, bv_text_copy(value->text)};
    filled = !value->text || r->values[c].text;
  }
  for (size_t j = 0; j < merge->objectives; j++) {
    double value = bv_front_value(front, i, s->objectives[j])->number;
    bool negated = merge->objective[j].role == BV_ROLE_MAXIMISE;
    r->objectives[j] = negated ? -value : value;
  }
  return filled;
}

/* Without all its objectives a row dominates none and none it. */
static bv_status check_objectives(const bv_merge *merge, const source *s,
                                  size_t i, bv_error *error) {
  for (size_t j = 0; j < merge->objectives; j++)
    if (!isfinite(bv_front_value(s->front, i, s->objectives[j])->number))
      return bv_fail(error, BV_BAD_DATA,
                     "%s: row %.15g: expected a finite number for %s, found "
                     "none",
                     s->name, bv_front_id(s->front, i),
                     merge->objective[j].name);
  return BV_OK;
}

static bv_status add_rows(bv_merge *merge, const source *s, bv_error *error) {
  for (size_t i = 0; i < s->front->rows; i++) {
    if (check_objectives(merge, s, i, error) != BV_OK)
      return BV_BAD_DATA;
    bv_row *r = calloc(1, sizeof *r);
    if (!r)
      return no_memory(error);
    if (!fill_row(merge, s, i, r) || !bv_merge_offer(merge, r)) {
      bv_row_free(r, merge->layout[s->layout].count);
      return no_memory(error);
    }
  }
  return BV_OK;
}

static size_t find_result(const bv_front *front, const char *name) {
  size_t i = 0;
  while (i < front->columns && (front->column[i].role != BV_ROLE_RESULT ||
                                strcmp(front->column[i].name, name) != 0))
    i++;
  return i;
}

static bv_status add_source(bv_merge *merge, source *s, bv_error *error) {
  bv_layout layout;
  size_t before = merge->layouts;
  s->places = calloc(s->front->columns + 1, sizeof *s->places);
  if (!s->places || !bv_layout_of(s->front, &layout, s->places)) {
    free(s->places);
    return no_memory(error);
  }
  s->layout = keep_layout(merge, &layout);
  bv_status status = BV_OK;
  if (s->layout == before && merge->layouts == before) {
    bv_layout_free(&layout);
    status = no_memory(error);
  }
  if (status == BV_OK)
    status = add_rows(merge, s, error);
  free(s->places);
  return status;
}

bv_status bv_merge_add(bv_merge *merge, const bv_front *front, const char *name,
                       const char *case_name, bv_error *error) {
  source s = {.front = front,
              .name = name,
              .case_name =
                  front->origin.case_name ? front->origin.case_name : case_name,
              .case_column = find_result(front, "case"),
              .row_column = find_result(front, "case_row")};
  bv_status status = BV_OK;
  if (!merge->origin.digest)
    status = begin(merge, front, error);
  if (status == BV_OK)
    status = check_origin(merge, front, name, error);
  if (status == BV_OK)
    status = find_objectives(merge, front, name, s.objectives, error);
  if (status != BV_OK)
    return status;
  if (front->origin.seed < merge->origin.seed)
    merge->origin.seed = front->origin.seed;
  return add_source(merge, &s, error);
}
