/* SPDX-License-Identifier: MIT */
#include "view/table.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "view/pick.h"
#include "view/table_print.h"

const char *const bv_table_format_words[] = {"text", "csv", "json", "markdown",
                                             NULL};

static void (*const printers[BV_TABLE_FORMAT_COUNT])(const bv_table_view *,
                                                     bv_buffer *) = {
    bv_table_print_text, bv_table_print_csv, bv_table_print_json,
    bv_table_print_markdown};

/* Everything a table under way owns. */
typedef struct selection {
  const bv_front *front;
  const bv_table_options *options;
  size_t *rows, *chosen;
  size_t count; /* rows so far */
  size_t kept;
  bool *is_knee, *is_kept_knee;
  bv_shown_column *columns;
  size_t column_count;
} selection;

static bool allocate(selection *work) {
  size_t rows = work->front->rows + 1;
  size_t columns = work->front->columns + work->options->column_count + 1;
  work->rows = calloc(rows, sizeof *work->rows);
  work->chosen = calloc(rows, sizeof *work->chosen);
  work->is_knee = calloc(rows, sizeof *work->is_knee);
  work->is_kept_knee = calloc(rows, sizeof *work->is_kept_knee);
  work->columns = calloc(columns, sizeof *work->columns);
  return work->rows && work->chosen && work->is_knee && work->is_kept_knee &&
         work->columns;
}

static void release(selection *work) {
  free(work->rows);
  free(work->chosen);
  free(work->is_knee);
  free(work->is_kept_knee);
  free(work->columns);
}

static bv_status keep_rows(selection *work, bv_error *error) {
  const bv_table_options *options = work->options;
  for (size_t r = 0; r < work->front->rows; r++) {
    bool kept = true;
    bv_status status =
        options->keep
            ? options->keep(options->keep_context, work->front, r, &kept, error)
            : BV_OK;
    if (status != BV_OK)
      return status;
    if (kept)
      work->rows[work->count++] = r;
  }
  work->kept = work->count;
  return BV_OK;
}

/* Designs near a front are no front: their knees would tell nothing. */
static bv_status mark_knees(selection *work, bv_error *error) {
  if (bv_front_is_near(work->front))
    return BV_OK;
  bv_picked picked = {work->rows, work->count};
  bv_status status =
      bv_pick_knees(work->front, picked, work->is_kept_knee, error);
  for (size_t i = 0; i < work->count; i++)
    work->is_knee[work->rows[i]] = work->is_kept_knee[i];
  return status;
}

static int by_number(const void *a, const void *b) {
  size_t x = *(const size_t *) a, y = *(const size_t *) b;
  return (x > y) - (x < y);
}

/* The best rows, back in the front's order. */
static bv_status take_best(selection *work, bv_error *error) {
  size_t best = work->options->best;
  if (best == 0 || best >= work->count)
    return BV_OK;
  bv_picked picked = {work->rows, work->count};
  bv_status status =
      bv_pick_best(work->front, picked, best, work->chosen, error);
  qsort(work->chosen, best, sizeof *work->chosen, by_number);
  memcpy(work->rows, work->chosen, best * sizeof *work->rows);
  work->count = best;
  return status;
}

/* -1, 0, 1 by the values alone; empty cells are equal to one another. */
static int compare_values(const bv_column *column, const bv_value *a,
                          const bv_value *b) {
  if (column->is_text)
    return strcmp(a->text, b->text);
  return (a->number > b->number) - (a->number < b->number);
}

static bool is_empty(const bv_column *column, const bv_value *value) {
  return column->is_text ? !value->text : isnan(value->number);
}

static int compare_rows(const selection *work, size_t column, size_t a,
                        size_t b) {
  const bv_column *about = &work->front->column[column];
  const bv_value *x = bv_front_value(work->front, a, column);
  const bv_value *y = bv_front_value(work->front, b, column);
  if (is_empty(about, x) || is_empty(about, y))
    return is_empty(about, x) - is_empty(about, y);
  int order = compare_values(about, x, y);
  return work->options->descending ? -order : order;
}

/* Merges two sorted neighbours; equal rows keep their order. */
static void merge(const selection *work, size_t column, size_t from,
                  size_t middle, size_t to) {
  size_t left = from, right = middle;
  for (size_t i = from; i < to; i++) {
    bool take_left =
        left < middle &&
        (right == to ||
         compare_rows(work, column, work->rows[left], work->rows[right]) <= 0);
    work->chosen[i] = work->rows[take_left ? left++ : right++];
  }
  memcpy(work->rows + from, work->chosen + from,
         (to - from) * sizeof *work->rows);
}

static bv_status sort_rows(selection *work, bv_error *error) {
  size_t column;
  if (!work->options->sort)
    return BV_OK;
  bv_status status =
      bv_column_find(work->front, work->options->sort, &column, error);
  if (status != BV_OK)
    return status;
  for (size_t run = 1; run < work->count; run *= 2)
    for (size_t from = 0; from + run < work->count; from += 2 * run) {
      size_t to = from + 2 * run;
      merge(work, column, from, from + run,
            to < work->count ? to : work->count);
    }
  return BV_OK;
}

/* Where a column comes when none are named: smaller first. */
enum { FIRST, NEAR, AIM, CHOICE, LIMITED, OTHER, STANDINGS };

/* What stands right behind `row` tells where a row comes from. */
static bool tells_source(const bv_front *front, size_t index) {
  for (size_t i = 1; i < index; i++)
    if (front->column[i].role != BV_ROLE_RESULT)
      return false;
  return index > 0 && front->column[0].role == BV_ROLE_ID;
}

static int standing(const bv_front *front, size_t index) {
  static const int standings[BV_ROLE_COUNT] = {[BV_ROLE_ID] = FIRST,
                                               [BV_ROLE_MINIMISE] = AIM,
                                               [BV_ROLE_MAXIMISE] = AIM,
                                               [BV_ROLE_VARIABLE] = CHOICE,
                                               [BV_ROLE_RESULT] = OTHER};
  const bv_column *column = &front->column[index];
  if (column->role != BV_ROLE_RESULT)
    return standings[column->role];
  if (bv_front_tells_near(front, index))
    return NEAR;
  if (tells_source(front, index))
    return FIRST;
  bool is_limited = isfinite(column->limit_min) || isfinite(column->limit_max);
  return is_limited ? LIMITED : OTHER;
}

static bv_status choose_columns(selection *work, bv_error *error) {
  const bv_table_options *options = work->options;
  bv_picked picked = {work->rows, work->count};
  for (size_t i = 0; i < options->column_count && options->columns; i++) {
    size_t column;
    bv_status status =
        bv_column_find(work->front, options->columns[i], &column, error);
    if (status != BV_OK)
      return status;
    work->columns[work->column_count++] =
        bv_column_look(work->front, column, picked);
  }
  for (int place = FIRST; place < STANDINGS && !options->columns; place++)
    for (size_t c = 0; c < work->front->columns; c++)
      if (standing(work->front, c) == place)
        work->columns[work->column_count++] =
            bv_column_look(work->front, c, picked);
  return BV_OK;
}

static bv_status make_table(selection *work, bv_error *error) {
  bv_status status = keep_rows(work, error);
  if (status == BV_OK)
    status = mark_knees(work, error);
  if (status == BV_OK)
    status = take_best(work, error);
  if (status == BV_OK)
    status = sort_rows(work, error);
  return status == BV_OK ? choose_columns(work, error) : status;
}

bv_status bv_view_table(const bv_front *front, const bv_table_options *options,
                        bv_buffer *out, bv_error *error) {
  selection work = {.front = front, .options = options};
  bv_status status = allocate(&work)
                         ? make_table(&work, error)
                         : bv_fail(error, BV_INTERNAL, "out of memory");
  if (status == BV_OK) {
    bv_table_view view = {front,         {work.rows, work.count},
                          work.columns,  work.column_count,
                          work.is_knee,  work.kept,
                          options->width};
    printers[options->format](&view, out);
    if (out->failed)
      status = bv_fail(error, BV_INTERNAL, "out of memory");
  }
  release(&work);
  return status;
}
