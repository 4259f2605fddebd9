/* SPDX-License-Identifier: MIT */
#include "table/catalogue.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/utf8.h"
#include "table/csvfile.h"
#include "table/unit.h"

/* What a column of the file fills. */
typedef struct column_target {
  const bv_field *field;
  double factor;
} column_target;

static bool is_required(const bv_field *field) {
  return isnan(field->fallback) && field->kind != BV_FLAG;
}

/* The field meant by a column that isn't known, or NULL: nearest to the whole
 * name (a unit left out) or to what stands before its last part (a wrong unit).
 */
static const bv_field *nearest_field(bv_fields fields, const char *column) {
  const char *name = bv_field_nearest(fields, column);
  const char *unit = strrchr(column, '_');
  char start[64];
  if (!name && unit && (size_t) (unit - column) < sizeof start) {
    snprintf(start, sizeof start, "%.*s", (int) (unit - column), column);
    name = bv_field_nearest(fields, start);
  }
  return name ? bv_field_find(fields, name) : NULL;
}

static bv_status refuse_column(const bv_csv *csv, size_t column,
                               bv_fields fields, bv_error *error) {
  const bv_field *nearest = nearest_field(fields, bv_csv_cell(csv, 0, column));
  bv_buffer hint = {0};
  if (nearest) {
    bv_buffer_print(&hint, "; did you mean ");
    bv_unit_append_column(&hint, nearest->name, nearest->unit);
    bv_buffer_print(&hint, "?");
  }
  bv_status status =
      bv_csv_fail(csv, 0, column, error, "expected a known column%s",
                  nearest && !hint.failed ? hint.text : "");
  bv_buffer_free(&hint);
  return status;
}

static bv_status refuse_missing(const bv_csv *csv, const bv_field *field,
                                bv_error *error) {
  bv_buffer name = {0};
  bv_unit_append_column(&name, field->name, field->unit);
  bv_status status =
      bv_fail(error, BV_BAD_DATA, "%s:%zu: expected a column %s, found none",
              csv->path, csv->lines[0], name.failed ? field->name : name.text);
  bv_buffer_free(&name);
  return status;
}

/* Fills targets[] from the header; every required field has one column, no
 * field has two. */
static bv_status read_header(const bv_csv *csv, bv_fields fields,
                             column_target *targets, bv_error *error) {
  for (size_t i = 0; i < csv->columns; i++) {
    if (!bv_unit_column(fields, bv_csv_cell(csv, 0, i), &targets[i].field,
                        &targets[i].factor))
      return refuse_column(csv, i, fields, error);
    for (size_t k = 0; k < i; k++)
      if (targets[k].field == targets[i].field)
        return bv_csv_fail(csv, 0, i, error,
                           "expected one column of %s, found another: %s",
                           targets[i].field->name, bv_csv_cell(csv, 0, k));
  }
  for (size_t f = 0; f < fields.count; f++) {
    bool found = !is_required(&fields.list[f]);
    for (size_t i = 0; i < csv->columns && !found; i++)
      found = targets[i].field == &fields.list[f];
    if (!found)
      return refuse_missing(csv, &fields.list[f], error);
  }
  return BV_OK;
}

/* A place in the file, for the readers of one cell. */
typedef struct cell_place {
  const bv_csv *csv;
  size_t row, column;
  bv_error *error;
} cell_place;

#define refuse(at, ...)                                                        \
  bv_csv_fail((at).csv, (at).row, (at).column, (at).error, __VA_ARGS__)

/* Provenance is for readers of the file; the struct keeps its start. Other
 * texts must fit. None may begin like a spreadsheet formula: names go on into
 * files that spreadsheets open. */
static bv_status read_text(cell_place at, const bv_field *field,
                           const char *text, void *part) {
  char kept[BV_TEXT_SIZE];
  size_t length = strlen(text);
  if (*text && strchr("=+-@\t\r", *text))
    return refuse(at, "expected a text that is no formula, found '%.40s'",
                  text);
  if (length >= BV_TEXT_SIZE && strcmp(field->name, "provenance") != 0)
    return refuse(at, "expected at most %d bytes, found %zu", BV_TEXT_SIZE - 1,
                  length);
  length = length < BV_TEXT_SIZE ? length : BV_TEXT_SIZE - 1;
  length = bv_utf8_valid(text, length);
  memcpy(kept, text, length);
  kept[length] = '\0';
  bv_field_set_text(field, part, kept);
  return BV_OK;
}

static bv_status read_word(cell_place at, const bv_field *field,
                           const char *text, void *part) {
  if (bv_field_set_text(field, part, text))
    return BV_OK;
  bv_buffer words = {0};
  for (size_t i = 0; field->words[i]; i++)
    bv_buffer_print(&words, "%s%s", i ? ", " : "", field->words[i]);
  bv_status status = refuse(at, "expected one of %s, found '%.40s'",
                            words.text ? words.text : "no word", text);
  bv_buffer_free(&words);
  return status;
}

static bv_status read_number(cell_place at, column_target into,
                             const char *text, void *part) {
  const bv_field *field = into.field;
  double value;
  if (!bv_parse_number(text, &value) || isnan(value))
    return refuse(at, "expected a number, found '%.40s'", text);
  value = bv_unit_scale(value, into.factor);
  if (value < field->lo || value > field->hi)
    return refuse(at, "expected %g … %g %s, found %g", field->lo, field->hi,
                  field->unit, value);
  bool is_whole = field->kind == BV_WHOLE || field->kind == BV_FLAG;
  if (is_whole && value != floor(value))
    return refuse(at, "expected a whole number, found '%.40s'", text);
  bv_field_set_number(field, part, value);
  return BV_OK;
}

static bv_status read_cell(cell_place at, column_target into, void *part) {
  const char *text = bv_csv_cell(at.csv, at.row, at.column);
  const bv_field *field = into.field;
  if (!*text && !is_required(field))
    return BV_OK;
  if (!*text)
    return refuse(at, "expected %s, found nothing", field->meaning);
  switch (field->kind) {
  case BV_TEXT:
    return read_text(at, field, text, part);
  case BV_WORD:
    return read_word(at, field, text, part);
  default:
    return read_number(at, into, text, part);
  }
}

static bv_status read_rows(const bv_csv *csv, bv_fields fields,
                           const column_target *targets, bv_rows *rows,
                           bv_error *error) {
  for (size_t r = 1; r < csv->rows; r++) {
    void *part = (char *) rows->data + (r - 1) * rows->size;
    bv_field_defaults(fields, part);
    for (size_t c = 0; c < csv->columns; c++) {
      bv_status status =
          read_cell((cell_place){csv, r, c, error}, targets[c], part);
      if (status != BV_OK)
        return status;
    }
  }
  return BV_OK;
}

typedef struct named {
  const char *name;
  size_t row;
} named;

static int by_name_and_row(const void *a, const void *b) {
  const named *first = a, *second = b;
  int order = strcmp(first->name, second->name);
  return order ? order
               : (first->row > second->row) - (first->row < second->row);
}

/* No two rows have the same text in the column called `name`. */
static bv_status check_names(const bv_csv *csv, const column_target *targets,
                             bv_error *error) {
  size_t column = 0;
  while (column < csv->columns &&
         strcmp(targets[column].field->name, "name") != 0)
    column++;
  if (column == csv->columns || csv->rows < 2)
    return BV_OK;
  named *list = calloc(csv->rows, sizeof *list);
  if (!list)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", csv->path);
  for (size_t r = 1; r < csv->rows; r++)
    list[r - 1] = (named){bv_csv_cell(csv, r, column), r};
  qsort(list, csv->rows - 1, sizeof *list, by_name_and_row);
  bv_status status = BV_OK;
  for (size_t i = 1; i < csv->rows - 1 && status == BV_OK; i++)
    if (strcmp(list[i].name, list[i - 1].name) == 0)
      status = bv_csv_fail(csv, list[i].row, column, error,
                           "expected a name of its own, found '%.40s' of "
                           "line %zu again",
                           list[i].name, csv->lines[list[i - 1].row]);
  free(list);
  return status;
}

static bv_status read_parts(const bv_csv *csv, bv_fields fields,
                            column_target *targets, bv_rows *rows,
                            bv_error *error) {
  bv_status status = read_header(csv, fields, targets, error);
  if (status == BV_OK && rows->count > BV_CATALOGUE_MOST)
    status = bv_fail(error, BV_BAD_DATA,
                     "%s: expected at most %d rows, "
                     "found %zu",
                     csv->path, BV_CATALOGUE_MOST, rows->count);
  if (status != BV_OK || rows->count == 0)
    return status;
  rows->data = calloc(rows->count, rows->size);
  if (!rows->data)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", csv->path);
  status = read_rows(csv, fields, targets, rows, error);
  return status == BV_OK ? check_names(csv, targets, error) : status;
}

bv_status bv_catalogue_read(const char *path, bv_fields fields, size_t size,
                            bv_rows *rows, bv_error *error) {
  *rows = (bv_rows){.size = size};
  bv_csv csv;
  bv_status status = bv_csv_read(path, &csv, error);
  if (status != BV_OK)
    return status;
  rows->count = csv.rows - 1;
  column_target *targets = calloc(csv.columns, sizeof *targets);
  if (!targets)
    status = bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  else
    status = read_parts(&csv, fields, targets, rows, error);
  free(targets);
  bv_csv_free(&csv);
  if (status != BV_OK)
    bv_catalogue_free(rows);
  return status;
}

void bv_catalogue_free(bv_rows *rows) {
  free(rows->data);
  *rows = (bv_rows){0};
}
