/* SPDX-License-Identifier: MIT */
#include "view/compare.h"

#include <math.h>
#include <stdint.h>
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

/* What every line shares. Its places are name, unit, spread, then one a row. */
enum { NAME, UNIT, SPREAD, FIRST_ROW, GAP = 2 };

/* The least width that a text is wrapped to. */
enum { NARROWEST = 16 };

typedef struct comparison {
  const bv_front *front;
  bv_picked rows;
  const quantity *lines;
  size_t count;
  size_t *widths; /* of the places */
  size_t width;   /* of the terminal; 0: no limit */
  bv_buffer scratch;
} comparison;

static void append_value(comparison *sheet, const quantity *line, size_t row,
                         bv_buffer *text) {
  const bv_front *front = sheet->front;
  if (!line) {
    bv_buffer_print(text, "%.15g", bv_front_id(front, row));
    return;
  }
  bv_shown_column shown = bv_column_look(front, line->column, sheet->rows);
  bv_column_append_cell(front, &shown, row, text);
}

/* The text of a place; without a line that of the header. */
static const char *place_text(comparison *sheet, const quantity *line,
                              size_t place) {
  bv_buffer *text = &sheet->scratch;
  text->length = 0;
  bv_buffer_append(text, "", 0);
  if (place >= FIRST_ROW)
    append_value(sheet, line, sheet->rows.rows[place - FIRST_ROW], text);
  else if (place == NAME)
    bv_buffer_print(text, "%s",
                    line ? sheet->front->column[line->column].name : "row");
  else if (place == UNIT && line)
    bv_buffer_print(
        text, "%s",
        bv_column_look(sheet->front, line->column, sheet->rows).unit.text);
  else if (place == SPREAD && !line)
    bv_buffer_print(text, "spread");
  else if (place == SPREAD && line->spread > 0 && isfinite(line->spread))
    bv_buffer_print(text, "%.3g %%", 100 * line->spread);
  return text->failed ? "" : text->text;
}

/* Bytes of a text that fit a width: to the last blank that is there or comes
 * next, if there is one. */
static size_t fitting(const char *text, size_t width) {
  size_t bytes = 0, blank = 0, letters = 0;
  for (; text[bytes]; bytes++) {
    bool begins = ((unsigned char) text[bytes] & 0xc0) != 0x80;
    if (text[bytes] == ' ')
      blank = bytes;
    if (begins && letters++ == width)
      return blank > 0 ? blank : bytes;
  }
  return bytes;
}

/* The part-th line of a text that is wrapped to a width, cut out of the buffer
 * that holds it, without the blanks that it was cut at; *more where others
 * follow. "" behind the last. */
static const char *wrapped(char *text, size_t width, size_t part, bool *more) {
  size_t bytes = fitting(text, width);
  for (; part > 0 && *text; part--) {
    text += bytes;
    text += strspn(text, " ");
    bytes = fitting(text, width);
  }
  *more = *more || text[bytes + strspn(text + bytes, " ")];
  text[bytes] = '\0';
  return text;
}

/* The part-th line of a place; *more where others follow. Numbers stand on the
 * right, texts of several lines on the left. */
static void append_part(comparison *sheet, const quantity *line, size_t place,
                        size_t part, bool *more, bv_buffer *out) {
  char nothing[] = "";
  bool follows = false;
  place_text(sheet, line, place);
  char *text = sheet->scratch.failed ? nothing : sheet->scratch.text;
  const char *shown = wrapped(text, sheet->widths[place], part, &follows);
  bool is_left = place < SPREAD || part > 0 || follows;
  bv_text_append_padded(out, shown, sheet->widths[place], is_left);
  bv_text_append_spaces(out, GAP);
  *more = *more || follows;
}

/* The room for one row beside names, units and spread. */
static size_t room_for_row(const comparison *sheet) {
  size_t used = sheet->widths[NAME] + sheet->widths[UNIT] +
                sheet->widths[SPREAD] + (size_t) FIRST_ROW * GAP;
  if (sheet->width == 0)
    return SIZE_MAX;
  return sheet->width > used + NARROWEST ? sheet->width - used : NARROWEST;
}

static void widen(comparison *sheet, const quantity *line, size_t place) {
  size_t width = bv_text_width(place_text(sheet, line, place));
  size_t most = place < FIRST_ROW ? SIZE_MAX : room_for_row(sheet);
  width = width < most ? width : most;
  if (width > sheet->widths[place])
    sheet->widths[place] = width;
}

/* Names, units and spread come first: they leave the rows their room. Names and
 * units of what is the same stand in line with the others; its value may be
 * wider, since nothing follows it. */
static void measure(comparison *sheet) {
  for (size_t place = 0; place < FIRST_ROW + sheet->rows.count; place++) {
    widen(sheet, NULL, place);
    for (size_t i = 0; i < sheet->count; i++)
      if (sheet->lines[i].spread > 0 || place < SPREAD)
        widen(sheet, &sheet->lines[i], place);
  }
}

/* The rows from one on that fit beside names, units and spread; at least one.
 */
static size_t count_fitting(const comparison *sheet, size_t from) {
  size_t used = sheet->widths[NAME] + sheet->widths[UNIT] +
                sheet->widths[SPREAD] + (size_t) (FIRST_ROW - 1) * GAP;
  size_t row = from;
  for (; row < sheet->rows.count; row++) {
    used += sheet->widths[FIRST_ROW + row] + GAP;
    if (sheet->width > 0 && used > sheet->width && row > from)
      break;
  }
  return row - from;
}

/* A line of the table, which goes on below where texts are wrapped. */
static void append_line(comparison *sheet, const quantity *line, size_t from,
                        size_t count, bv_buffer *out) {
  bool more = true;
  for (size_t part = 0; more; part++) {
    more = false;
    append_part(sheet, line, NAME, part, &more, out);
    append_part(sheet, line, UNIT, part, &more, out);
    for (size_t i = 0; i < count; i++)
      append_part(sheet, line, FIRST_ROW + from + i, part, &more, out);
    append_part(sheet, line, SPREAD, part, &more, out);
    bv_text_end_line(out);
  }
}

/* What differs, in as many blocks of rows as the width asks for. */
static void append_blocks(comparison *sheet, bv_buffer *out) {
  for (size_t from = 0, count; from < sheet->rows.count; from += count) {
    count = count_fitting(sheet, from);
    if (from > 0)
      bv_text_end_line(out);
    append_line(sheet, NULL, from, count, out);
    for (size_t i = 0; i < sheet->count && sheet->lines[i].spread > 0; i++)
      append_line(sheet, &sheet->lines[i], from, count, out);
  }
}

/* The value of a line that is the same in all rows, to the end of the line. */
static void append_shared(comparison *sheet, const quantity *line,
                          bv_buffer *out) {
  size_t room = room_for_row(sheet);
  bool more = true;
  for (size_t part = 0; more; part++) {
    more = false;
    append_part(sheet, line, NAME, part, &more, out);
    append_part(sheet, line, UNIT, part, &more, out);
    place_text(sheet, line, FIRST_ROW);
    if (!sheet->scratch.failed)
      bv_buffer_print(out, "%s",
                      wrapped(sheet->scratch.text, room, part, &more));
    bv_text_end_line(out);
  }
}

static void append_same(comparison *sheet, bv_buffer *out) {
  size_t first = 0;
  while (first < sheet->count && sheet->lines[first].spread > 0)
    first++;
  if (first < sheet->count)
    bv_buffer_print(out, "\nThe same in all:\n");
  for (size_t i = first; i < sheet->count; i++)
    append_shared(sheet, &sheet->lines[i], out);
}

bv_status bv_view_compare(const bv_front *front, bv_picked rows, size_t width,
                          bv_buffer *out, bv_error *error) {
  quantity *lines = calloc(front->columns + 1, sizeof *lines);
  size_t *widths = calloc(FIRST_ROW + rows.count, sizeof *widths);
  if (lines && widths && rows.count > 0) {
    size_t count = list_lines(front, rows, lines);
    comparison sheet = {front, rows, lines, count, widths, width, {0}};
    measure(&sheet);
    append_blocks(&sheet, out);
    append_same(&sheet, out);
    out->failed |= sheet.scratch.failed;
    bv_buffer_free(&sheet.scratch);
  }
  bool failed = !lines || !widths || out->failed;
  free(lines);
  free(widths);
  return failed ? bv_fail(error, BV_INTERNAL, "out of memory") : BV_OK;
}
