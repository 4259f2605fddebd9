/* SPDX-License-Identifier: MIT */
#include "view/row.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "table/unit.h"

bv_status bv_row_find(const bv_front *front, const char *id, bv_row *row,
                      bv_error *error) {
  double number;
  *row = (bv_row){front, front->rows};
  if (bv_parse_number(id, &number))
    row->index = bv_front_find_row(front, number);
  if (row->index < front->rows)
    return BV_OK;
  if (front->rows == 0)
    return bv_fail(error, BV_USAGE, "no row '%.40s': the front is empty", id);
  return bv_fail(
      error, BV_USAGE, "no row '%.40s' among %zu rows, %.15g to %.15g", id,
      front->rows, bv_front_id(front, 0), bv_front_id(front, front->rows - 1));
}

static size_t column_of(const bv_row *row, const char *name) {
  char evaluated[256];
  snprintf(evaluated, sizeof evaluated, "evaluated_%s", name);
  size_t column = bv_front_find(row->front, evaluated);
  return column < row->front->columns ? column
                                      : bv_front_find(row->front, name);
}

const bv_column *bv_row_column(const bv_row *row, const char *name) {
  size_t column = column_of(row, name);
  return column < row->front->columns ? &row->front->column[column] : NULL;
}

/* The SI unit of a column and the factor to it; a unit nobody knows stays. */
static const char *si_of(const bv_column *column, double *factor) {
  const char *unit = column->unit ? column->unit : "", *si = bv_unit_si(unit);
  *factor = si ? bv_unit_factor(unit, si) : 1;
  return si ? si : unit;
}

const char *bv_row_unit(const bv_row *row, const char *name) {
  double factor;
  const bv_column *column = bv_row_column(row, name);
  return column ? si_of(column, &factor) : "";
}

double bv_row_number(const bv_row *row, const char *name) {
  size_t column = column_of(row, name);
  if (column == row->front->columns || row->front->column[column].is_text)
    return (double) NAN;
  double factor;
  si_of(&row->front->column[column], &factor);
  return bv_unit_scale(bv_front_value(row->front, row->index, column)->number,
                       factor);
}

const char *bv_row_text(const bv_row *row, const char *name) {
  size_t column = column_of(row, name);
  if (column == row->front->columns || !row->front->column[column].is_text)
    return NULL;
  return bv_front_value(row->front, row->index, column)->text;
}

bool bv_row_is_mixed(const bv_row *row) {
  const char *verification = bv_row_text(row, "verification");
  return verification && strcmp(verification, BV_ROW_MIXED) == 0;
}

/* Where the name of a circuit's field means something else in a front: see
 * BV_DESIGN_RENAMED in model/design_results.h. */
static const char *result_of(const char *field) {
  if (strcmp(field, "turns_ratio") == 0)
    return "turns_ratio_built";
  return strcmp(field, "max_frequency") == 0 ? "frequency_limit" : field;
}

/* Appends a column name to a list. */
static void list(bv_buffer *names, const bv_field *field) {
  bv_buffer_print(names, "%s", names->length ? ", " : "");
  bv_unit_append_column(names, result_of(field->name), field->unit);
}

/* Reads a field where the row has it, else it keeps its default. */
static void read_field(const bv_row *row, const bv_field *field,
                       bv_circuit *circuit, bv_buffer *wrong,
                       bv_buffer *left_out) {
  const char *name = result_of(field->name);
  const char *text = bv_row_text(row, name);
  double number = bv_row_number(row, name);
  bool fits = number >= field->lo && number <= field->hi;
  if ((text && !bv_field_set_text(field, circuit, text)) ||
      (!isnan(number) && (!fits || field->kind == BV_WORD))) {
    list(wrong, field);
    return;
  }
  if (!isnan(number))
    bv_field_set_number(field, circuit, number);
  else if (!text)
    list(left_out, field);
  number = bv_field_number(field, circuit);
  if (!(number >= field->lo && number <= field->hi))
    list(wrong, field);
}

bv_status bv_row_circuit(const bv_row *row, bv_circuit *circuit,
                         bv_buffer *left_out, bv_error *error) {
  bv_buffer wrong = {0}, nobody = {0};
  bv_field_defaults(bv_circuit_fields, circuit);
  for (size_t i = 0; i < bv_circuit_fields.count; i++)
    read_field(row, &bv_circuit_fields.list[i], circuit, &wrong,
               left_out ? left_out : &nobody);
  bv_status status = BV_OK;
  if (wrong.length)
    status = bv_fail(error, BV_BAD_DATA,
                     "the row does not describe a circuit: missing, empty or "
                     "out of range: %s",
                     wrong.text);
  else if (!bv_circuit_valid(circuit))
    status = bv_fail(error, BV_BAD_DATA,
                     "the numbers of the row do not fit together as a circuit");
  bv_buffer_free(&wrong);
  bv_buffer_free(&nobody);
  return status;
}
