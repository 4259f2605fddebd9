/* SPDX-License-Identifier: MIT */
#include "view/table_print.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "table/csvfile.h"
#include "view/aligned.h"
#include "view/json.h"

enum { GAP = 2, HEADER_LINES_MOST = 8 };

static const bv_column *about(const bv_table_view *view, size_t index) {
  return &view->front->column[view->columns[index].column];
}

static bool is_text(const bv_table_view *view, size_t index) {
  return about(view, index)->is_text;
}

/* The length of the next line of a name that is broken after its underscores to
 * fit a width (a longer part stands alone). */
static size_t line_length(const char *name, size_t width) {
  size_t length = 0;
  while (name[length]) {
    size_t part = strcspn(name + length, "_");
    part += name[length + part] == '_';
    if (length > 0 && length + part > width)
      break;
    length += part;
  }
  return length;
}

static size_t count_lines(const char *name, size_t width) {
  size_t lines = 0;
  for (; *name; name += line_length(name, width))
    lines++;
  return lines;
}

/* A name that would break into too many lines gets a wider column. */
static size_t name_width(const char *name, size_t width) {
  for (const char *part = name; *part;) {
    size_t length = line_length(part, 0);
    width = length > width ? length : width;
    part += length;
  }
  while (count_lines(name, width) > HEADER_LINES_MOST)
    width++;
  return width;
}

static size_t column_width(const bv_table_view *view, size_t index,
                           bv_buffer *scratch) {
  size_t width = bv_text_width(view->columns[index].unit.text);
  for (size_t r = 0; r < view->rows.count; r++) {
    scratch->length = 0;
    bv_column_append_cell(view->front, &view->columns[index],
                          view->rows.rows[r], scratch);
    size_t cell = scratch->failed ? 0 : bv_text_width(scratch->text);
    width = cell > width ? cell : width;
  }
  return name_width(about(view, index)->name, width);
}

/* Columns that fit the terminal's width; at least one. */
static size_t count_fitting(const bv_table_view *view, const size_t *widths) {
  size_t used = 1;
  for (size_t c = 0; c < view->column_count; c++) {
    used += GAP + widths[c];
    if (view->width > 0 && used > view->width && c > 0)
      return c;
  }
  return view->column_count;
}

/* Line `line` of `lines` of a name; the last line stands at the bottom. */
static void append_name_line(const char *name, size_t width, size_t line,
                             size_t lines, bool left, bv_buffer *out) {
  size_t own = count_lines(name, width);
  char text[256] = "";
  if (line + own >= lines) {
    for (size_t skip = line + own - lines; skip > 0; skip--)
      name += line_length(name, width);
    snprintf(text, sizeof text, "%.*s", (int) line_length(name, width), name);
  }
  bv_text_append_padded(out, text, width, left);
}

static void append_header(const bv_table_view *view, const size_t *widths,
                          size_t count, bv_buffer *out) {
  size_t lines = 1;
  for (size_t c = 0; c < count; c++) {
    size_t own = count_lines(about(view, c)->name, widths[c]);
    lines = own > lines ? own : lines;
  }
  bool has_units = false;
  for (size_t c = 0; c < count; c++)
    has_units |= *view->columns[c].unit.text != '\0';
  for (size_t line = 0; line < lines + has_units; line++) {
    bv_text_append_spaces(out, 1);
    for (size_t c = 0; c < count; c++) {
      bv_text_append_spaces(out, GAP);
      if (line < lines)
        append_name_line(about(view, c)->name, widths[c], line, lines,
                         is_text(view, c), out);
      else
        bv_text_append_padded(out, view->columns[c].unit.text, widths[c],
                              is_text(view, c));
    }
    bv_text_end_line(out);
  }
}

static void append_row(const bv_table_view *view, const size_t *widths,
                       size_t count, size_t row, bv_buffer *scratch,
                       bv_buffer *out) {
  bv_buffer_append(out, view->is_knee[row] ? "*" : " ", 1);
  for (size_t c = 0; c < count; c++) {
    scratch->length = 0;
    bv_column_append_cell(view->front, &view->columns[c], row, scratch);
    bv_text_append_spaces(out, GAP);
    bv_text_append_padded(out, scratch->failed ? "" : scratch->text, widths[c],
                          is_text(view, c));
  }
  bv_text_end_line(out);
}

/* Words of a note, broken at the terminal's width. */
static void append_note(const bv_table_view *view, const char *note,
                        bv_buffer *out) {
  size_t used = 0;
  while (*note) {
    size_t length = strcspn(note, " ");
    if (used > 0 && view->width > 0 && used + 1 + length > view->width) {
      bv_text_end_line(out);
      used = 0;
    } else if (used > 0) {
      bv_text_append_spaces(out, 1);
      used++;
    }
    bv_buffer_append(out, note, length);
    used += length;
    note += length;
    note += strspn(note, " ");
  }
  bv_text_end_line(out);
}

static bool is_shown(const bv_table_view *view, size_t row) {
  for (size_t r = 0; r < view->rows.count; r++)
    if (view->rows.rows[r] == row)
      return true;
  return false;
}

/* Rows that cover a front needn't be its knees: those are named. */
static void note_knees(const bv_table_view *view, bv_buffer *note) {
  enum { NAMED = 6 };
  size_t all = 0, shown = 0, named = 0;
  for (size_t row = 0; row < view->front->rows; row++)
    all += view->is_knee[row];
  for (size_t r = 0; r < view->rows.count; r++)
    shown += view->is_knee[view->rows.rows[r]];
  if (shown > 0)
    bv_buffer_print(note, " * knee (Das 1999).");
  if (all == shown)
    return;
  bool one = all - shown == 1;
  bv_buffer_print(note, " Knee%s%s not shown: row%s", one ? "" : "s",
                  shown > 0 ? "" : " (Das 1999)", one ? "" : "s");
  for (size_t row = 0; row < view->front->rows && named < NAMED; row++)
    if (view->is_knee[row] && !is_shown(view, row))
      bv_buffer_print(note, "%s %.15g", named++ ? "," : "",
                      bv_front_id(view->front, row));
  bv_buffer_print(note, all - shown > named ? ", …" : ".");
}

static void note_rows(const bv_table_view *view, bv_buffer *note) {
  bv_buffer_print(note, "%zu of %zu rows", view->rows.count, view->front->rows);
  if (view->kept < view->front->rows)
    bv_buffer_print(note, ", %zu kept", view->kept);
  bv_buffer_print(note, ".");
  note_knees(view, note);
}

/* Names the first columns that are left out and counts the others. */
static void note_dropped(const bv_table_view *view, size_t shown,
                         bv_buffer *note) {
  size_t left = view->column_count - shown, named = left <= 10 ? left : 8;
  if (left == 0)
    return;
  bv_buffer_print(note, "Left out to fit %zu columns:", view->width);
  for (size_t c = shown; c < shown + named; c++)
    bv_buffer_print(note, "%s %s", c > shown ? "," : "", about(view, c)->name);
  if (named < left)
    bv_buffer_print(note, " and %zu more", left - named);
  bv_buffer_print(note, ".");
}

static void append_notes(const bv_table_view *view, size_t shown,
                         bv_buffer *scratch, bv_buffer *out) {
  bv_text_end_line(out);
  scratch->length = 0;
  note_rows(view, scratch);
  if (!scratch->failed)
    append_note(view, scratch->text, out);
  scratch->length = 0;
  bv_buffer_append(scratch, "", 0);
  note_dropped(view, shown, scratch);
  if (!scratch->failed && scratch->length > 0)
    append_note(view, scratch->text, out);
}

void bv_table_print_text(const bv_table_view *view, bv_buffer *out) {
  bv_buffer scratch = {0};
  size_t *widths = calloc(view->column_count + 1, sizeof *widths);
  if (!widths) {
    out->failed = true;
    return;
  }
  for (size_t c = 0; c < view->column_count; c++)
    widths[c] = column_width(view, c, &scratch);
  size_t shown = count_fitting(view, widths);
  append_header(view, widths, shown, out);
  for (size_t r = 0; r < view->rows.count; r++)
    append_row(view, widths, shown, view->rows.rows[r], &scratch, out);
  append_notes(view, shown, &scratch, out);
  out->failed |= scratch.failed;
  bv_buffer_free(&scratch);
  free(widths);
}

/* Cells of a pipe table: what would end a cell or start markup is escaped. */
static void append_markdown(bv_buffer *out, const char *text) {
  for (; *text; text++) {
    if (strchr("|\\`*_[]<>&~", *text))
      bv_buffer_append(out, "\\", 1);
    bv_buffer_append(out, text, 1);
  }
}

void bv_table_print_markdown(const bv_table_view *view, bv_buffer *out) {
  bv_buffer scratch = {0};
  for (size_t c = 0; c < view->column_count; c++) {
    bv_buffer_print(out, "| ");
    append_markdown(out, about(view, c)->name);
    const char *unit = view->columns[c].unit.text;
    bv_buffer_print(out, "%s%s ", *unit ? " in " : "", unit);
  }
  bv_buffer_print(out, "|\n");
  for (size_t c = 0; c < view->column_count; c++)
    bv_buffer_print(out, is_text(view, c) ? "|---" : "|---:");
  bv_buffer_print(out, "|\n");
  for (size_t r = 0; r < view->rows.count; r++) {
    for (size_t c = 0; c < view->column_count; c++) {
      scratch.length = 0;
      bv_column_append_cell(view->front, &view->columns[c], view->rows.rows[r],
                            &scratch);
      bv_buffer_print(out, "| ");
      append_markdown(out, scratch.failed ? "" : scratch.text);
      bv_buffer_print(out, " ");
    }
    bv_buffer_print(out, "|\n");
  }
  out->failed |= scratch.failed;
  bv_buffer_free(&scratch);
}

void bv_table_print_csv(const bv_table_view *view, bv_buffer *out) {
  bv_buffer header = {0};
  for (size_t c = 0; c < view->column_count; c++) {
    header.length = 0;
    bv_front_append_header(about(view, c), &header);
    bv_csv_append(out, header.failed ? "" : header.text, c == 0);
  }
  bv_buffer_append(out, "\n", 1);
  for (size_t r = 0; r < view->rows.count; r++) {
    for (size_t c = 0; c < view->column_count; c++)
      bv_front_append_cell(view->front, view->rows.rows[r],
                           view->columns[c].column, c == 0, out);
    bv_buffer_append(out, "\n", 1);
  }
  out->failed |= header.failed;
  bv_buffer_free(&header);
}

static void append_json_row(const bv_table_view *view, size_t row,
                            bv_buffer *out) {
  bv_buffer header = {0};
  for (size_t c = 0; c < view->column_count; c++) {
    const bv_value *value =
        bv_front_value(view->front, row, view->columns[c].column);
    header.length = 0;
    bv_front_append_header(about(view, c), &header);
    bv_buffer_print(out, "%s", c ? ", " : "  {");
    bv_json_append_text(out, header.failed ? "" : header.text);
    bv_buffer_print(out, ": ");
    if (is_text(view, c))
      bv_json_append_text(out, value->text);
    else
      bv_json_append_number(out, value->number);
  }
  bv_buffer_print(out, "}");
  out->failed |= header.failed;
  bv_buffer_free(&header);
}

void bv_table_print_json(const bv_table_view *view, bv_buffer *out) {
  bv_buffer_print(out, "[");
  for (size_t r = 0; r < view->rows.count; r++) {
    bv_buffer_print(out, "%s\n", r ? "," : "");
    append_json_row(view, view->rows.rows[r], out);
  }
  bv_buffer_print(out, "%s]\n", view->rows.count ? "\n" : "");
}
