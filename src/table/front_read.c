/* SPDX-License-Identifier: MIT */
/* Reading a front, its sidecar and what is near it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "table/csvfile.h"
#include "table/schema.h"
#include "table/unit.h"

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

static bool same_text(const char *a, const char *b) {
  return strcmp(a ? a : "", b ? b : "") == 0;
}

static bool same_search(const bv_origin *a, const bv_origin *b) {
  bool same_volume = a->hypervolume == b->hypervolume ||
                     (isnan(a->hypervolume) && isnan(b->hypervolume));
  return same_text(a->digest, b->digest) && same_text(a->version, b->version) &&
         a->seed == b->seed && a->evaluations == b->evaluations && same_volume;
}

bv_status bv_front_read_near(const bv_front *front, const char *path,
                             bv_front *near, bv_error *error) {
  char *near_path = bv_front_near_path(path);
  *near = (bv_front){0};
  if (!near_path)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  bv_status status = bv_front_read(near_path, near, error);
  if (status == BV_OK && (!bv_front_is_near(near) ||
                          !same_search(&front->origin, &near->origin))) {
    status = bv_fail(error, BV_BAD_DATA,
                     "%s: expected designs near %s, found those of another "
                     "search",
                     near_path, path);
    bv_front_free(near);
  }
  free(near_path);
  return status;
}
