/* SPDX-License-Identifier: MIT */
#include "run/merge.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "run/layout.h"
#include "search/problem.h"

typedef struct row {
  size_t layout; /* index */
  bv_value *values;
  char *case_name;
  double number;                         /* in the front of its case */
  double objectives[BV_OBJECTIVES_MOST]; /* smaller is better */
} row;

struct bv_merge {
  bv_origin origin; /* of the first front */
  size_t layouts, rows, row_room;
  bv_layout *layout;
  row **row; /* none dominates another; in rising order of the objectives */
  size_t objectives;
  bv_column objective[BV_OBJECTIVES_MOST]; /* names and units are owned */
};

bv_merge *bv_merge_new(void) {
  return calloc(1, sizeof(bv_merge));
}

static void free_row(row *r, size_t count) {
  for (size_t i = 0; r->values && i < count; i++)
    free(r->values[i].text);
  free(r->values);
  free(r->case_name);
  free(r);
}

static void drop_row(const bv_merge *merge, row *r) {
  free_row(r, merge->layout[r->layout].count);
}

static void free_origin(bv_origin *origin) {
  free(origin->title);
  free(origin->study);
  free(origin->version);
  free(origin->digest);
}

void bv_merge_free(bv_merge *merge) {
  if (!merge)
    return;
  for (size_t i = 0; i < merge->rows; i++)
    drop_row(merge, merge->row[i]);
  for (size_t i = 0; i < merge->layouts; i++)
    bv_layout_free(&merge->layout[i]);
  for (size_t i = 0; i < merge->objectives; i++) {
    free(merge->objective[i].name);
    free(merge->objective[i].unit);
    free(merge->objective[i].meaning);
  }
  free_origin(&merge->origin);
  free(merge->row);
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

static char *copy_text(const char *text) {
  return text ? strdup(text) : NULL;
}

static bv_status begin(bv_merge *merge, const bv_front *front,
                       bv_error *error) {
  const bv_origin *origin = &front->origin;
  merge->origin = (bv_origin){.title = copy_text(origin->title),
                              .study = copy_text(origin->study),
                              .version = copy_text(origin->version),
                              .digest = copy_text(origin->digest),
                              .seed = origin->seed,
                              .hypervolume = NAN};
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

/* Rows */

static int compare_numbers(double a, double b) {
  if (isnan(a) || isnan(b))
    return (int) isnan(a) - (int) isnan(b);
  return a < b ? -1 : a > b;
}

/* Orders rows of equal objectives: by case, number there, then what they hold,
 * so that of two the same one stays whatever comes first. */
static int compare_rest(const bv_merge *merge, const row *a, const row *b) {
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

static int compare_objectives(const bv_merge *merge, const row *a,
                              const row *b) {
  int order = 0;
  for (size_t i = 0; i < merge->objectives && order == 0; i++)
    order = compare_numbers(a->objectives[i], b->objectives[i]);
  return order;
}

/* True where a is nowhere worse than b. */
static bool covers(const bv_merge *merge, const row *a, const row *b) {
  for (size_t i = 0; i < merge->objectives; i++)
    if (!(a->objectives[i] <= b->objectives[i]))
      return false;
  return true;
}

/* Where a row belongs among those that are held. */
static size_t place_of(const bv_merge *merge, const row *r) {
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

static bool is_covered(const bv_merge *merge, const row *r, size_t place) {
  for (size_t i = 0; i < place; i++)
    if (covers(merge, merge->row[i], r))
      return true;
  return place < merge->rows &&
         compare_objectives(merge, merge->row[place], r) == 0 &&
         compare_rest(merge, merge->row[place], r) <= 0;
}

static void drop_covered(bv_merge *merge, const row *r, size_t place) {
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
  row **rows = realloc(merge->row, room * sizeof *rows);
  if (!rows)
    return false;
  merge->row = rows;
  merge->row_room = room;
  return true;
}

/* Holds a row or lets it go; false: out of memory, it is the caller's. */
static bool offer(bv_merge *merge, row *r) {
  size_t place = place_of(merge, r);
  if (!make_room(merge))
    return false;
  if (is_covered(merge, r, place)) {
    drop_row(merge, r);
    return true;
  }
  drop_covered(merge, r, place);
  memmove(&merge->row[place + 1], &merge->row[place],
          (merge->rows - place) * sizeof(row *));
  merge->row[place] = r;
  merge->rows++;
  return true;
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
  const char *case_name;
  size_t layout, *places;
  size_t case_column, row_column; /* front->columns: none */
  size_t objectives[BV_OBJECTIVES_MOST];
} source;

static bool fill_row(const bv_merge *merge, const source *s, size_t i, row *r) {
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
    r->values[c] = (bv_value){value->number, copy_text(value->text)};
    filled = !value->text || r->values[c].text;
  }
  for (size_t j = 0; j < merge->objectives; j++) {
    double value = bv_front_value(front, i, s->objectives[j])->number;
    bool negated = merge->objective[j].role == BV_ROLE_MAXIMISE;
    r->objectives[j] = negated ? -value : value;
  }
  return filled;
}

static bv_status add_rows(bv_merge *merge, const source *s, bv_error *error) {
  for (size_t i = 0; i < s->front->rows; i++) {
    row *r = calloc(1, sizeof *r);
    if (!r)
      return no_memory(error);
    if (!fill_row(merge, s, i, r) || !offer(merge, r)) {
      free_row(r, merge->layout[s->layout].count);
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
              .case_name = case_name,
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

/* The merged front */

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
  *copy = (bv_value){value->number, copy_text(text)};
  return !text || copy->text;
}

static bool copy_row(const bv_merge *merge, size_t i, const bv_layout *all,
                     bv_front *front) {
  const row *r = merge->row[i];
  const bv_layout *layout = &merge->layout[r->layout];
  bv_value *values = bv_front_value(front, i, 0);
  values[0].number = (double) i + 1;
  values[1].text = strdup(r->case_name);
  values[2].number = r->number;
  bool copied = values[1].text != NULL;
  for (size_t c = 0; c < layout->count && copied; c++) {
    size_t at = bv_layout_find(all, &layout->columns[c]);
    copied = copy_value(&r->values[c], &layout->columns[c], &all->columns[at],
                        &values[LEADING + at]);
  }
  return copied;
}

static void copy_origin(const bv_origin *origin, bv_origin *copy) {
  *copy = *origin;
  copy->title = copy_text(origin->title);
  copy->study = copy_text(origin->study);
  copy->version = copy_text(origin->version);
  copy->digest = copy_text(origin->digest);
}

bv_status bv_merge_front(const bv_merge *merge, bv_front *front,
                         bv_error *error) {
  bv_layout all;
  if (!join_layouts(merge, &all))
    return no_memory(error);
  bv_status status =
      bv_front_make(front, LEADING + all.count, merge->rows, error);
  bool made = status == BV_OK && copy_columns(&all, front);
  for (size_t i = 0; i < merge->rows && made; i++)
    made = copy_row(merge, i, &all, front);
  bv_layout_free(&all);
  if (status != BV_OK)
    return status;
  if (!made) {
    bv_front_free(front);
    return no_memory(error);
  }
  copy_origin(&merge->origin, &front->origin);
  return BV_OK;
}
