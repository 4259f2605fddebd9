/* SPDX-License-Identifier: MIT */
#include "view/compare.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "view/aligned.h"
#include "view/column.h"

/* A quantity and how much it differs. */
typedef struct quantity {
  size_t column;
  double spread; /* 0: the same in all; infinite: texts that differ */
  bool is_objective;
} quantity;

static bool same_texts(const bv_front *front, bv_picked rows, size_t column) {
  const char *first = bv_front_value(front, rows.rows[0], column)->text;
  for (size_t i = 1; i < rows.count; i++) {
    const char *text = bv_front_value(front, rows.rows[i], column)->text;
    if (!first || !text ? first != text : strcmp(first, text) != 0)
      return false;
  }
  return true;
}

/* An empty cell beside a number counts as a difference of 100 %. */
static double spread_of(const bv_front *front, bv_picked rows, size_t column) {
  if (front->column[column].is_text)
    return same_texts(front, rows, column) ? 0 : HUGE_VAL;
  double lo = HUGE_VAL, hi = -HUGE_VAL, size = 0;
  size_t empty = 0;
  for (size_t i = 0; i < rows.count; i++) {
    double value = bv_front_value(front, rows.rows[i], column)->number;
    empty += isnan(value) ? 1 : 0;
    lo = fmin(lo, value);
    hi = fmax(hi, value);
    size = fmax(size, fabs(value));
  }
  if (empty > 0 || isinf(size))
    return empty == rows.count || lo == hi ? 0 : 1;
  return size > 0 ? (hi - lo) / size : 0;
}

static int by_difference(const void *a, const void *b) {
  const quantity *x = a, *y = b;
  bool x_first = x->is_objective && x->spread > 0;
  bool y_first = y->is_objective && y->spread > 0;
  if (x_first != y_first)
    return x_first ? -1 : 1;
  if (!x_first && (x->spread > y->spread || x->spread < y->spread))
    return x->spread > y->spread ? -1 : 1;
  return (x->column > y->column) - (x->column < y->column);
}

static size_t list_lines(const bv_front *front, bv_picked rows,
                         quantity *lines) {
  size_t count = 0;
  for (size_t c = 0; c < front->columns; c++) {
    bv_role role = front->column[c].role;
    if (role != BV_ROLE_ID)
      lines[count++] =
          (quantity){c, spread_of(front, rows, c),
                     role == BV_ROLE_MINIMISE || role == BV_ROLE_MAXIMISE};
  }
  qsort(lines, count, sizeof *lines, by_difference);
  return count;
}

/* Columns of the comparison: name, unit, one a row, spread. */
typedef struct comparison {
  const bv_front *front;
  bv_picked rows;
  const quantity *lines;
  size_t count;
  size_t *widths; /* rows.count + 3 */
  bv_buffer scratch;
} comparison;

/* The text of a place: row 0 is the header. */
static const char *place_text(comparison *sheet, size_t row, size_t column) {
  bv_buffer *text = &sheet->scratch;
  text->length = 0;
  bv_buffer_append(text, "", 0);
  const quantity *line = row > 0 ? &sheet->lines[row - 1] : NULL;
  bv_shown_column shown = {0};
  if (line)
    shown = bv_column_look(sheet->front, line->column, sheet->rows);
  bool is_row = column >= 2 && column < 2 + sheet->rows.count;
  if (is_row && line)
    bv_column_append_cell(sheet->front, &shown, sheet->rows.rows[column - 2],
                          text);
  else if (is_row)
    bv_buffer_print(text, "%.15g",
                    bv_front_id(sheet->front, sheet->rows.rows[column - 2]));
  else if (column == 0)
    bv_buffer_print(text, "%s",
                    line ? sheet->front->column[line->column].name : "row");
  else if (column == 1)
    bv_buffer_print(text, "%s", shown.unit.text);
  else if (!line)
    bv_buffer_print(text, "spread");
  else if (line->spread > 0 && isfinite(line->spread))
    bv_buffer_print(text, "%.3g %%", 100 * line->spread);
  return text->failed ? "" : text->text;
}

static bool is_same(const comparison *sheet, size_t row) {
  return row > 0 && sheet->lines[row - 1].spread == 0;
}

/* Columns of a line: what is the same in all is told once. */
static size_t places(const comparison *sheet, size_t row) {
  return is_same(sheet, row) ? 3 : sheet->rows.count + 3;
}

/* A value that is the same in all may be wider: nothing follows it. */
static void measure(comparison *sheet) {
  for (size_t row = 0; row <= sheet->count; row++) {
    size_t count = is_same(sheet, row) ? 2 : places(sheet, row);
    for (size_t column = 0; column < count; column++) {
      size_t width = bv_text_width(place_text(sheet, row, column));
      if (width > sheet->widths[column])
        sheet->widths[column] = width;
    }
  }
}

static void append_line(comparison *sheet, size_t row, bv_buffer *out) {
  for (size_t column = 0; column < places(sheet, row); column++) {
    const char *text = place_text(sheet, row, column);
    bool is_left = column < 2 || is_same(sheet, row);
    bv_text_append_padded(out, text, sheet->widths[column], is_left);
    bv_buffer_append(out, "  ", 2);
  }
  bv_text_end_line(out);
}

static void append_sheet(comparison *sheet, bv_buffer *out) {
  measure(sheet);
  append_line(sheet, 0, out);
  for (size_t row = 1; row <= sheet->count; row++) {
    if (is_same(sheet, row) && (row == 1 || !is_same(sheet, row - 1)))
      bv_buffer_print(out, "\nThe same in all:\n");
    append_line(sheet, row, out);
  }
  out->failed |= sheet->scratch.failed;
}

bv_status bv_view_compare(const bv_front *front, bv_picked rows, bv_buffer *out,
                          bv_error *error) {
  quantity *lines = calloc(front->columns + 1, sizeof *lines);
  size_t *widths = calloc(rows.count + 3, sizeof *widths);
  if (lines && widths && rows.count > 0) {
    comparison sheet = {front,  rows, lines, list_lines(front, rows, lines),
                        widths, {0}};
    append_sheet(&sheet, out);
    bv_buffer_free(&sheet.scratch);
  }
  bool failed = !lines || !widths || out->failed;
  free(lines);
  free(widths);
  return failed ? bv_fail(error, BV_INTERNAL, "out of memory") : BV_OK;
}
