/* SPDX-License-Identifier: MIT */
#include "table/front.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "table/csvfile.h"
#include "table/unit.h"

bv_status bv_front_make(bv_front *front, size_t columns, size_t rows,
                        bv_error *error) {
  bv_column *column = calloc(columns + 1, sizeof *column);
  bv_value *values = calloc(columns * rows + 1, sizeof *values);
  if (!column || !values) {
    free(column);
    free(values);
    *front = (bv_front){0};
    bv_fail(error, BV_INTERNAL, "out of memory");
    return BV_INTERNAL;
  }
  *front = (bv_front){
      .columns = columns, .rows = rows, .column = column, .values = values};
  front->origin.hypervolume = (double) NAN;
  for (size_t i = 0; i < columns; i++) {
    front->column[i].role = BV_ROLE_RESULT;
    front->column[i].limit_min = -HUGE_VAL;
    front->column[i].limit_max = HUGE_VAL;
  }
  for (size_t i = 0; i < columns * rows; i++)
    front->values[i].number = (double) NAN;
  return BV_OK;
}

bv_status bv_front_insert(bv_front *front, size_t index, size_t count,
                          bv_error *error) {
  bv_front wide;
  bv_status status =
      bv_front_make(&wide, front->columns + count, front->rows, error);
  if (status != BV_OK)
    return status;
  for (size_t c = 0; c < front->columns; c++) {
    size_t place = c < index ? c : c + count;
    wide.column[place] = front->column[c];
    for (size_t r = 0; r < front->rows; r++)
      *bv_front_value(&wide, r, place) = *bv_front_value(front, r, c);
  }
  wide.origin = front->origin;
  free(front->column);
  free(front->values);
  *front = wide;
  return BV_OK;
}

void bv_column_free(bv_column *column) {
  free(column->name);
  free(column->unit);
  free(column->meaning);
}

void bv_origin_free(bv_origin *origin) {
  free(origin->title);
  free(origin->study);
  free(origin->case_name);
  free(origin->version);
  free(origin->digest);
  free(origin->stop);
  free(origin->seed_designs);
}

void bv_front_free(bv_front *front) {
  for (size_t i = 0; i < front->columns * front->rows; i++)
    free(front->values[i].text);
  for (size_t i = 0; i < front->columns; i++)
    bv_column_free(&front->column[i]);
  free(front->values);
  free(front->column);
  bv_origin_free(&front->origin);
  *front = (bv_front){0};
}

bv_value *bv_front_value(const bv_front *front, size_t row, size_t column) {
  return &front->values[row * front->columns + column];
}

void bv_front_append_header(const bv_column *column, bv_buffer *out) {
  bv_unit_append_column(out, column->name, column->unit);
}

double bv_front_id(const bv_front *front, size_t row) {
  for (size_t c = 0; c < front->columns; c++)
    if (front->column[c].role == BV_ROLE_ID && !front->column[c].is_text)
      return bv_front_value(front, row, c)->number;
  return (double) row + 1;
}

size_t bv_front_find_row(const bv_front *front, double id) {
  size_t row = 0;
  while (row < front->rows && bv_front_id(front, row) != id)
    row++;
  return row;
}

static bool is_header(const bv_column *column, const char *name) {
  bv_buffer header = {0};
  bv_front_append_header(column, &header);
  bool same = !header.failed && strcmp(header.text, name) == 0;
  bv_buffer_free(&header);
  return same;
}

size_t bv_front_find(const bv_front *front, const char *name) {
  for (size_t i = 0; i < front->columns; i++)
    if (strcmp(front->column[i].name, name) == 0)
      return i;
  for (size_t i = 0; i < front->columns; i++)
    if (is_header(&front->column[i], name))
      return i;
  return front->columns;
}

void bv_front_append_cell(const bv_front *front, size_t row, size_t index,
                          int first, bv_buffer *csv) {
  const bv_column *column = &front->column[index];
  const bv_value *value = bv_front_value(front, row, index);
  char number[BV_NUMBER_SIZE] = "";
  const char *text = number;
  if (column->is_text)
    text = value->text ? value->text : "";
  else if (isinf(value->number))
    text = value->number > 0 ? "INF" : "-INF";
  else if (!isnan(value->number))
    bv_format_number(number, value->number);
  bv_csv_append(csv, text, first);
}

void bv_front_print_csv(const bv_front *front, bv_buffer *csv) {
  for (size_t c = 0; c < front->columns; c++) {
    bv_buffer header = {0};
    bv_front_append_header(&front->column[c], &header);
    bv_csv_append(csv, header.failed ? "" : header.text, c == 0);
    csv->failed |= header.failed;
    bv_buffer_free(&header);
  }
  bv_buffer_append(csv, "\n", 1);
  for (size_t r = 0; r < front->rows; r++) {
    for (size_t c = 0; c < front->columns; c++)
      bv_front_append_cell(front, r, c, c == 0, csv);
    bv_buffer_append(csv, "\n", 1);
  }
}

/* The path of a file that belongs to a front: its own with another ending. */
static char *path_beside(const char *path, const char *ending) {
  size_t length = strlen(path);
  if (length > 4 && strcmp(path + length - 4, ".csv") == 0)
    length -= 4;
  bv_buffer beside = {0};
  bv_buffer_append(&beside, path, length);
  bv_buffer_print(&beside, "%s", ending);
  if (beside.failed)
    bv_buffer_free(&beside);
  return beside.text;
}

char *bv_front_schema_path(const char *path) {
  return path_beside(path, ".schema.json");
}

char *bv_front_near_path(const char *path) {
  return path_beside(path, ".near.csv");
}

bool bv_front_is_near(const bv_front *front) {
  return bv_front_find(front, BV_NEAR_PREFIX "limit") < front->columns;
}

size_t bv_front_find_bound(const bv_front *front, const char *name,
                           bool is_max) {
  bv_buffer bound = {0};
  bv_buffer_print(&bound, BV_BOUND_PREFIX "%s_%s", is_max ? "max" : "min",
                  name);
  size_t column =
      bound.failed ? front->columns : bv_front_find(front, bound.text);
  bv_buffer_free(&bound);
  return column;
}

bool bv_front_tells_near(const bv_front *front, size_t column) {
  const char *name = front->column[column].name;
  return bv_front_is_near(front) &&
         strncmp(name, BV_NEAR_PREFIX, strlen(BV_NEAR_PREFIX)) == 0;
}
