/* SPDX-License-Identifier: MIT */
#include "run/build.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A front under way. Its columns are laid out first, then its rows filled. */
typedef struct builder {
  const bv_study *study;
  bv_space space;
  const bv_candidate *rows;
  bv_front *front;
  const char **sources; /* a column: the result it shows, NULL: none */
  size_t room;          /* columns there is room for */
  size_t next;          /* where a row's next result is likely to be */
  bool failed;          /* memory ran out */
} builder;

static char *copy_text(builder *b, const char *text) {
  char *copy = strdup(text);
  b->failed = b->failed || !copy;
  return copy;
}

static bool grow(builder *b) {
  if (b->front->columns < b->room)
    return true;
  size_t room = b->room ? 2 * b->room : 64;
  bv_column *column = realloc(b->front->column, room * sizeof *column);
  if (column)
    b->front->column = column;
  const char **sources = realloc(b->sources, room * sizeof *sources);
  if (sources)
    b->sources = sources;
  if (column && sources)
    b->room = room;
  b->failed = b->failed || !column || !sources;
  return !b->failed;
}

static bv_column *add_column(builder *b, const char *name, const char *unit,
                             const char *meaning, bv_role role, bool is_text,
                             const char *source) {
  if (b->failed || !grow(b))
    return NULL;
  b->sources[b->front->columns] = source;
  bv_column *column = &b->front->column[b->front->columns++];
  *column = (bv_column){.name = copy_text(b, name),
                        .unit = copy_text(b, unit),
                        .meaning = copy_text(b, meaning),
                        .role = role,
                        .is_text = is_text,
                        .limit_min = -HUGE_VAL,
                        .limit_max = HUGE_VAL};
  return column;
}

static bv_column *column_of(const builder *b, const char *name) {
  for (size_t i = 0; i < b->front->columns; i++)
    if (strcmp(b->front->column[i].name, name) == 0)
      return &b->front->column[i];
  return NULL;
}

static size_t variable_of(const builder *b, const char *name) {
  size_t i = 0;
  while (i < b->space.count && strcmp(b->space.variables[i].name, name) != 0)
    i++;
  return i;
}

static void add_variable(builder *b, size_t i) {
  const char *unit, *meaning;
  bool is_text = bv_study_choice(b->study, i, 0) != NULL;
  bv_study_word_variable(b->study, i, &unit, &meaning);
  add_column(b, b->space.variables[i].name, unit, meaning, BV_ROLE_VARIABLE,
             is_text, NULL);
}

/* True where a result named like the i-th variable shows the same. */
static bool repeats_variable(const builder *b, size_t i, const char *name) {
  for (size_t row = 0; row < b->front->rows; row++) {
    const bv_result *result = bv_told_find(b->rows[row].told, name);
    double x = b->rows[row].x[i];
    const char *label = bv_told_label(b->study, i, x);
    if (!result || result->is_text != (label != NULL) ||
        (label ? strcmp(label, result->text) != 0 : x != result->number))
      return false;
  }
  return true;
}

static void add_result(builder *b, const bv_result *result, bv_role role) {
  size_t variable = variable_of(b, result->name);
  char name[256];
  snprintf(name, sizeof name, "%s%s",
           variable < b->space.count ? "evaluated_" : "", result->name);
  if (variable < b->space.count &&
      repeats_variable(b, variable, result->name)) {
    if (role != BV_ROLE_RESULT)
      column_of(b, result->name)->role = role;
  } else if (!column_of(b, name)) {
    add_column(b, name, result->unit, result->meaning, role, result->is_text,
               result->name);
  }
}

static const bv_result *find_anywhere(const builder *b, const char *name) {
  const bv_result *found = NULL;
  for (size_t row = 0; row < b->front->rows && !found; row++)
    found = bv_told_find(b->rows[row].told, name);
  return found;
}

static void add_objectives(builder *b) {
  size_t count;
  const bv_objective *objectives = bv_study_objectives(b->study, &count);
  for (size_t i = 0; i < count; i++) {
    const bv_result *result = find_anywhere(b, objectives[i].name);
    if (result)
      add_result(b, result,
                 objectives[i].maximise ? BV_ROLE_MAXIMISE : BV_ROLE_MINIMISE);
  }
}

static void add_limits(builder *b) {
  size_t count;
  const bv_limit *limits = bv_study_limits(b->study, &count);
  for (size_t i = 0; i < count; i++) {
    bv_column *column = column_of(b, limits[i].name);
    if (!column)
      continue;
    column->limit_min = isnan(limits[i].min) ? -HUGE_VAL : limits[i].min;
    column->limit_max = isnan(limits[i].max) ? HUGE_VAL : limits[i].max;
  }
}

/* Rows are mostly alike: the same name in the same place was seen before. */
static bool as_before(const builder *b, size_t row, size_t i) {
  if (row == 0)
    return false;
  const bv_record *here = &b->rows[row].told->record;
  const bv_record *before = &b->rows[row - 1].told->record;
  return i < before->count &&
         strcmp(before->results[i].name, here->results[i].name) == 0;
}

static void add_results(builder *b, size_t row) {
  const bv_record *record = &b->rows[row].told->record;
  for (size_t i = 0; i < record->count && !b->failed; i++)
    if (!as_before(b, row, i))
      add_result(b, &record->results[i], BV_ROLE_RESULT);
}

static void lay_out(builder *b) {
  add_column(b, "row", "", "identifies the design in this file", BV_ROLE_ID,
             false, NULL);
  for (size_t i = 0; i < b->space.count; i++)
    add_variable(b, i);
  if (!b->failed)
    add_objectives(b);
  for (size_t row = 0; row < b->front->rows && !b->failed; row++)
    add_results(b, row);
  if (!b->failed)
    add_limits(b);
}

static char *header_of(builder *b, const bv_column *column) {
  bv_buffer header = {0};
  bv_front_append_header(column, &header);
  b->failed = b->failed || header.failed;
  return header.text;
}

typedef struct header {
  char *cell;
  const char *name; /* of its column */
} header;

static int by_cell(const void *a, const void *b) {
  return strcmp(((const header *) a)->cell, ((const header *) b)->cell);
}

/* `cost` in s and `cost_s` would share a header cell, and none could be read.
 */
static bv_status check_headers(builder *b, bv_error *error) {
  size_t count = b->front->columns;
  header *headers = calloc(count + 1, sizeof *headers);
  bv_status status = BV_OK;
  b->failed = b->failed || !headers;
  for (size_t i = 0; headers && i < count; i++) {
    const bv_column *column = &b->front->column[i];
    headers[i] = (header){header_of(b, column), column->name};
  }
  if (!b->failed)
    qsort(headers, count, sizeof *headers, by_cell);
  for (size_t i = 1; !b->failed && status == BV_OK && i < count; i++)
    if (by_cell(&headers[i - 1], &headers[i]) == 0)
      status = bv_fail(error, BV_BAD_DATA,
                       "%s: results \"%s\" and \"%s\" would both have the "
                       "column %s; expected another name",
                       bv_study_path(b->study), headers[i - 1].name,
                       headers[i].name, headers[i].cell);
  for (size_t i = 0; headers && i < count; i++)
    free(headers[i].cell);
  free(headers);
  return status;
}

/* The columns come in the order of the results. */
static const bv_result *next_result(builder *b, size_t row, const char *name) {
  const bv_record *record = &b->rows[row].told->record;
  const bv_result *result = &record->results[b->next];
  if (b->next >= record->count || strcmp(result->name, name) != 0)
    result = bv_told_find(b->rows[row].told, name);
  if (result)
    b->next = (size_t) (result - record->results) + 1;
  return result;
}

static bv_value value_of(builder *b, size_t row, size_t column) {
  const char *text = NULL;
  double number = (double) row + 1;
  if (column >= 1 && column <= b->space.count) {
    number = b->rows[row].x[column - 1];
    text = bv_told_label(b->study, column - 1, number);
  } else if (column > 0) {
    const bv_result *result = next_result(b, row, b->sources[column]);
    number = result ? result->number : (double) NAN;
    text = result && result->is_text ? result->text : NULL;
  }
  if (!b->front->column[column].is_text)
    return (bv_value){.number = number};
  return (bv_value){.number = (double) NAN,
                    .text = text ? copy_text(b, text) : NULL};
}

static void fill(builder *b) {
  size_t columns = b->front->columns, rows = b->front->rows;
  b->front->values = calloc(columns * rows + 1, sizeof *b->front->values);
  b->failed = b->failed || !b->front->values;
  for (size_t i = 0; b->sources && i < columns * rows && !b->failed; i++)
    b->front->values[i] = value_of(b, i / columns, i % columns);
}

bv_status bv_front_build(const bv_study *study, const bv_candidate *rows,
                         size_t count, bv_front *front, bv_error *error) {
  *front = (bv_front){.rows = count};
  builder b = {.study = study,
               .space = bv_study_problem(study)->space,
               .rows = rows,
               .front = front};
  lay_out(&b);
  bv_status status = b.failed ? BV_OK : check_headers(&b, error);
  if (status == BV_OK && !b.failed)
    fill(&b);
  free(b.sources);
  if (status == BV_OK && !b.failed)
    return BV_OK;
  if (!front->values)
    front->rows = 0;
  bv_front_free(front);
  return status != BV_OK
             ? status
             : bv_fail(error, BV_INTERNAL, "out of memory for the front");
}
