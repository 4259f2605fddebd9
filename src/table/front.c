/* SPDX-License-Identifier: MIT */
#include "table/front.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "table/csvfile.h"
#include "table/schema.h"
#include "table/unit.h"

bv_status bv_front_make(bv_front *front, size_t columns, size_t rows,
                        bv_error *error) {
  bv_column *column = calloc(columns + 1, sizeof *column);
  bv_value *values = calloc(columns * rows + 1, sizeof *values);
  if (!column || !values) {
    free(column);
    free(values);
    *front = (bv_front){0};
    return bv_fail(error, BV_INTERNAL, "out of memory");
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

static void free_column(bv_column *column) {
  free(column->name);
  free(column->unit);
  free(column->meaning);
}

static void free_origin(bv_origin *origin) {
  free(origin->title);
  free(origin->study);
  free(origin->version);
  free(origin->digest);
  free(origin->stop);
  free(origin->seed_designs);
}

void bv_front_free(bv_front *front) {
  for (size_t i = 0; i < front->columns * front->rows; i++)
    free(front->values[i].text);
  for (size_t i = 0; i < front->columns; i++)
    free_column(&front->column[i]);
  free(front->values);
  free(front->column);
  free_origin(&front->origin);
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

char *bv_front_schema_path(const char *path) {
  size_t length = strlen(path);
  if (length > 4 && strcmp(path + length - 4, ".csv") == 0)
    length -= 4;
  bv_buffer schema = {0};
  bv_buffer_append(&schema, path, length);
  bv_buffer_print(&schema, ".schema.json");
  if (schema.failed)
    bv_buffer_free(&schema);
  return schema.text;
}

static const char *file_name(const char *path) {
  const char *slash = strrchr(path, '/');
  return slash ? slash + 1 : path;
}

static bv_status stage_schema(const bv_front *front, const char *path,
                              bv_staged *staged, bv_error *error) {
  bv_buffer json = {0};
  char *schema_path = bv_front_schema_path(path);
  bv_status status =
      schema_path ? bv_front_print_schema(front, file_name(path), &json, error)
                  : bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  if (status == BV_OK)
    status = bv_file_stage(schema_path, json.text, json.length, staged, error);
  bv_buffer_free(&json);
  free(schema_path);
  return status;
}

/* Both files are on the disk before either takes its place. */
static bv_status write_both(const bv_front *front, const bv_buffer *csv,
                            const char *path, bv_error *error) {
  bv_staged schema = {0}, rows = {0};
  bv_status status = stage_schema(front, path, &schema, error);
  if (status == BV_OK)
    status = bv_file_stage(path, csv->text, csv->length, &rows, error);
  if (status == BV_OK)
    status = bv_file_commit(&schema, error);
  if (status == BV_OK)
    status = bv_file_commit(&rows, error);
  bv_file_discard(&schema);
  bv_file_discard(&rows);
  return status;
}

bv_status bv_front_write(const bv_front *front, const char *path,
                         bv_error *error) {
  bv_buffer csv = {0};
  bv_front_print_csv(front, &csv);
  bv_status status;
  if (csv.failed)
    status = bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  else if (strcmp(path, "-") == 0)
    status = bv_file_replace(path, csv.text, csv.length, error);
  else
    status = write_both(front, &csv, path, error);
  bv_buffer_free(&csv);
  return status;
}

/* What the header alone tells of a column. */
static bool split_header(bv_column *column) {
  if (strcmp(column->name, "row") == 0)
    column->role = BV_ROLE_ID;
  char *last = strrchr(column->name, '_');
  if (!last || last == column->name || !bv_unit_si(last + 1))
    return true;
  column->unit = strdup(last + 1);
  *last = '\0';
  return column->unit != NULL;
}

static bool column_is_text(const bv_csv *csv, size_t column) {
  double number;
  for (size_t r = 1; r < csv->rows; r++) {
    const char *cell = bv_csv_cell(csv, r, column);
    if (*cell && !bv_parse_number(cell, &number))
      return true;
  }
  return false;
}

/* Columns from the sidecar, where there is one that knows them, or from the
 * header. */
static bv_status read_columns(const bv_csv *csv, const char *path,
                              bv_front *front, bool *known, bv_error *error) {
  for (size_t c = 0; c < csv->columns; c++)
    if (!(front->column[c].name = strdup(bv_csv_cell(csv, 0, c))))
      return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  bv_status status = BV_NO_INPUT;
  if (strcmp(path, "-") != 0) {
    char *schema_path = bv_front_schema_path(path);
    status = schema_path
                 ? bv_schema_read(schema_path, front, known, error)
                 : bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
    free(schema_path);
  }
  if (status != BV_OK && status != BV_NO_INPUT)
    return status;
  for (size_t c = 0; c < csv->columns; c++) {
    if (known[c])
      continue;
    front->column[c].is_text = column_is_text(csv, c);
    if (!split_header(&front->column[c]))
      return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  }
  return BV_OK;
}

static bv_status read_value(const bv_csv *csv, size_t row, size_t column,
                            bv_front *front, bv_error *error) {
  const char *cell = bv_csv_cell(csv, row, column);
  bv_value *value = bv_front_value(front, row - 1, column);
  if (!*cell)
    return BV_OK;
  if (front->column[column].is_text) {
    value->text = strdup(cell);
    return value->text ? BV_OK : bv_fail(error, BV_INTERNAL, "out of memory");
  }
  if (!bv_parse_number(cell, &value->number))
    return bv_csv_fail(csv, row, column, error,
                       "expected a number, found '%.40s'", cell);
  return BV_OK;
}

static bv_status read_front(const bv_csv *csv, const char *path,
                            bv_front *front, bv_error *error) {
  bool *known = calloc(csv->columns, sizeof *known);
  bv_status status =
      known ? read_columns(csv, path, front, known, error)
            : bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  free(known);
  for (size_t r = 1; r < csv->rows && status == BV_OK; r++)
    for (size_t c = 0; c < csv->columns && status == BV_OK; c++)
      status = read_value(csv, r, c, front, error);
  return status;
}

bv_status bv_front_read(const char *path, bv_front *front, bv_error *error) {
  *front = (bv_front){0};
  bv_csv csv;
  bv_status status = bv_csv_read(path, &csv, error);
  if (status != BV_OK)
    return status;
  status = bv_front_make(front, csv.columns, csv.rows - 1, error);
  if (status == BV_OK)
    status = read_front(&csv, path, front, error);
  bv_csv_free(&csv);
  if (status != BV_OK)
    bv_front_free(front);
  return status;
}
