/* SPDX-License-Identifier: MIT */
/* Block of the sheet: why this row. Limits, nearest rows, single steps. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "search/problem.h"
#include "view/sheet_block.h"

enum { NEAREST = 3 };

/* Share of a limit below which it is said to bind. */
static const double binding = 0.02;

/* Relative change below which none is told. */
static const double noticed = 1e-4;

/* Nearer rows, by distance over the extent of the front, are the same trade. */
static const double same_trade = 0.02;

/* The end of a limit, a number or what the script computed for the row; not
 * finite where there is none. */
static double limit_of(const bv_row *row, size_t column, bool is_max) {
  const bv_front *front = row->front;
  const bv_column *c = &front->column[column];
  double limit = is_max ? c->limit_max : c->limit_min;
  size_t bound = bv_front_find_bound(front, c->name, is_max);
  return isfinite(limit) || bound == front->columns
             ? limit
             : bv_front_value(front, row->index, bound)->number;
}

static bool limited(const bv_row *row, size_t column) {
  return !row->front->column[column].is_text &&
         (isfinite(limit_of(row, column, false)) ||
          isfinite(limit_of(row, column, true)));
}

static bool is_objective(const bv_column *column) {
  return column->role == BV_ROLE_MINIMISE || column->role == BV_ROLE_MAXIMISE;
}

bool bv_sheet_has_reasons(const bv_sheet *sheet) {
  const bv_front *front = sheet->row->front;
  for (size_t i = 0; i < front->columns; i++)
    if (limited(sheet->row, i) || is_objective(&front->column[i]))
      return true;
  return sheet->steps && sheet->steps->rows > 0;
}

static double size_of(double limit) {
  return limit != 0 ? fabs(limit) : 1;
}

/* A limit is met up to the search's tolerance. */
static bool is_missed(double limit, double left) {
  return left < -BV_LIMIT_TOLERANCE * size_of(limit);
}

/* What is left is a share of the limit, or of one where the limit is zero: then
 * it is a margin, a share itself, or has its unit. */
static const char *verdict(const bv_column *column, double limit, double left) {
  bool is_share = limit != 0 || !column->unit || !*column->unit;
  double close = is_share ? binding * size_of(limit) : BV_LIMIT_TOLERANCE;
  if (is_missed(limit, left))
    return ", missed";
  return left < close ? ", binds" : "";
}

static void write_limit(const bv_sheet *sheet, const bv_column *column,
                        double value, double limit, bool is_max) {
  double left = is_max ? limit - value : value - limit;
  bv_document_part(sheet->document);
  bv_sheet_cell(sheet, column->name);
  bv_sheet_cell_value(sheet, value, column->unit);
  bv_document_cell(sheet->document);
  bv_sheet_text(sheet, is_max ? "at most " : "at least ");
  bv_sheet_value(sheet, limit, column->unit);
  bv_document_cell(sheet->document);
  if (limit != 0)
    bv_sheet_percent(sheet, left / fabs(limit));
  else
    bv_sheet_value(sheet, left, column->unit);
  bv_sheet_text(sheet, verdict(column, limit, left));
}

static void write_limits(const bv_sheet *sheet) {
  static const char *const head[] = {"Limit on", "Here", "Limit", "Left"};
  const bv_front *front = sheet->row->front;
  bool open = false;
  for (size_t i = 0; i < front->columns; i++) {
    const bv_column *c = &front->column[i];
    if (!limited(sheet->row, i))
      continue;
    if (!open)
      bv_sheet_head(sheet, BV_TABLE, head, 4);
    open = true;
    double value = bv_front_value(front, sheet->row->index, i)->number;
    for (int is_max = 1; is_max >= 0; is_max--)
      if (isfinite(limit_of(sheet->row, i, is_max)))
        write_limit(sheet, c, value, limit_of(sheet->row, i, is_max), is_max);
  }
  if (open)
    bv_document_end(sheet->document);
}

/* What a column of another row changes. */

/* " (+2.3 %)", where a number can be compared. */
static void write_relative(const bv_sheet *sheet, double there, double here) {
  double change = (there - here) / fabs(here);
  if (!isfinite(change) || fabs(change) < noticed)
    return;
  bv_sheet_text(sheet, change > 0 ? " (+" : " (");
  bv_sheet_percent(sheet, change);
  bv_sheet_text(sheet, ")");
}

/* Numbers alike but for rounding are the same. */
static bool same(const bv_column *column, const bv_value *a,
                 const bv_value *b) {
  if (!column->is_text)
    return !(fabs(a->number - b->number) > 1e-9 * fabs(b->number));
  return strcmp(a->text ? a->text : "", b->text ? b->text : "") == 0;
}

/* What this row has in a column where another one has something else; NULL
 * where both have the same, or this one nothing. */
static const bv_value *changed(const bv_sheet *sheet, const bv_row *other,
                               size_t column) {
  const bv_column *c = &other->front->column[column];
  const bv_front *front = sheet->row->front;
  size_t own = bv_front_find(front, c->name);
  if (own == front->columns || front->column[own].is_text != c->is_text)
    return NULL;
  const bv_value *here = bv_front_value(front, sheet->row->index, own);
  const bv_value *there = bv_front_value(other->front, other->index, column);
  return same(c, there, here) ? NULL : here;
}

/* Nothing, and false, where the two rows have the same. */
static bool write_change(const bv_sheet *sheet, const bv_row *other,
                         size_t column, const char *before) {
  const bv_column *c = &other->front->column[column];
  const bv_value *there = bv_front_value(other->front, other->index, column);
  const bv_value *here = changed(sheet, other, column);
  if (!here)
    return false;
  bv_sheet_text(sheet, before);
  bv_sheet_text(sheet, c->name);
  bv_sheet_text(sheet, " ");
  if (c->is_text)
    bv_sheet_text(sheet, there->text ? there->text : "");
  else
    bv_sheet_value(sheet, there->number, c->unit);
  if (!c->is_text && is_objective(c))
    write_relative(sheet, there->number, here->number);
  return true;
}

/* A cell with the changed variables or objectives; false where there is none.
 */
static bool write_changes(const bv_sheet *sheet, const bv_row *other,
                          bool objectives) {
  bool any = false;
  bv_document_cell(sheet->document);
  for (size_t i = 0; i < other->front->columns; i++) {
    const bv_column *c = &other->front->column[i];
    bool wanted = objectives ? is_objective(c) : c->role == BV_ROLE_VARIABLE;
    if (wanted && write_change(sheet, other, i, any ? "; " : ""))
      any = true;
  }
  return any;
}

/* Nearest rows. */

static double number_at(const bv_front *front, size_t row, size_t column) {
  return bv_front_value(front, row, column)->number;
}

/* Extent of a column over the front; 0 where it is constant. */
static double extent(const bv_front *front, size_t column) {
  double lo = HUGE_VAL, hi = -HUGE_VAL;
  for (size_t row = 0; row < front->rows; row++) {
    lo = fmin(lo, number_at(front, row, column));
    hi = fmax(hi, number_at(front, row, column));
  }
  return hi > lo ? hi - lo : 0;
}

/* Adds to each row's distance from this one in one objective, squared, in
 * units of the front's extent; a row without the number is far away. */
static void add_distances(const bv_row *here, size_t column,
                          double *distances) {
  const bv_front *front = here->front;
  double scale = extent(front, column);
  for (size_t row = 0; row < front->rows && scale > 0; row++) {
    double step = (number_at(front, row, column) -
                   number_at(front, here->index, column)) /
                  scale;
    distances[row] += isnan(step) ? HUGE_VAL : step * step;
  }
}

/* Sets what is no neighbour far away; false where nothing is left. */
static bool pass_over(double *distances, size_t count) {
  bool any = false;
  for (size_t i = 0; i < count; i++) {
    if (!(distances[i] >= same_trade * same_trade))
      distances[i] = HUGE_VAL;
    any = any || isfinite(distances[i]);
  }
  return any;
}

static size_t nearest(const double *distances, size_t count) {
  size_t best = 0;
  for (size_t i = 1; i < count; i++)
    if (distances[i] < distances[best])
      best = i;
  return best;
}

static void write_nearest(const bv_sheet *sheet, double *distances) {
  static const char *const head[] = {"Near on the front", "Objectives there",
                                     "Choices that differ"};
  const bv_front *front = sheet->row->front;
  bv_sheet_head(sheet, BV_TABLE, head, 3);
  for (size_t i = 0; i < NEAREST; i++) {
    bv_row there = {front, nearest(distances, front->rows)};
    char text[40];
    if (!isfinite(distances[there.index]))
      break;
    distances[there.index] = HUGE_VAL;
    snprintf(text, sizeof text, "row %.15g", bv_front_id(front, there.index));
    bv_document_part(sheet->document);
    bv_sheet_cell(sheet, text);
    write_changes(sheet, &there, true);
    write_changes(sheet, &there, false);
  }
  bv_document_end(sheet->document);
}

static void find_nearest(const bv_sheet *sheet) {
  const bv_front *front = sheet->row->front;
  double *distances = calloc(front->rows, sizeof *distances);
  if (!distances) {
    sheet->document->out->failed = true;
    return;
  }
  for (size_t i = 0; i < front->columns; i++)
    if (is_objective(&front->column[i]) && !front->column[i].is_text)
      add_distances(sheet->row, i, distances);
  if (pass_over(distances, front->rows))
    write_nearest(sheet, distances);
  free(distances);
}

/* Single steps. */

static bool failed(const bv_row *there) {
  for (size_t i = 0; i < there->front->columns; i++)
    if (is_objective(&there->front->column[i]) &&
        isnan(number_at(there->front, there->index, i)))
      return true;
  return false;
}

static bool breaks(const bv_row *row, size_t column) {
  double value = number_at(row->front, row->index, column);
  double max = limit_of(row, column, true), min = limit_of(row, column, false);
  return is_missed(max, max - value) || is_missed(min, value - min);
}

/* Names the limits that a step breaks. */
static void write_broken(const bv_sheet *sheet, const bv_row *there) {
  bool any = false;
  for (size_t i = 0; i < there->front->columns; i++) {
    if (!limited(there, i) || !breaks(there, i))
      continue;
    bv_sheet_text(sheet, any ? ", " : "breaks ");
    bv_sheet_text(sheet, there->front->column[i].name);
    any = true;
  }
  bv_sheet_text(sheet, any ? "" : "hold");
}

static void write_step(const bv_sheet *sheet, const bv_row *there) {
  const char *reason = bv_row_text(there, "reason");
  bv_document_part(sheet->document);
  write_changes(sheet, there, false);
  if (failed(there)) {
    bv_sheet_cell(sheet, "no design");
    bv_sheet_cell(sheet, reason ? reason : "");
    return;
  }
  write_changes(sheet, there, true);
  bv_document_cell(sheet->document);
  write_broken(sheet, there);
}

/* A step that leaves every objective as it is and breaks nothing. */
static bool is_idle(const bv_sheet *sheet, const bv_row *there) {
  const bv_front *front = there->front;
  for (size_t i = 0; i < front->columns; i++)
    if ((is_objective(&front->column[i]) && changed(sheet, there, i)) ||
        (limited(there, i) && breaks(there, i)))
      return false;
  return !failed(there);
}

/* A line for all of them. */
static void write_idle(const bv_sheet *sheet) {
  const bv_front *steps = sheet->steps;
  bool any = false;
  for (size_t r = 0; r < steps->rows; r++) {
    bv_row there = {steps, r};
    if (!is_idle(sheet, &there))
      continue;
    if (!any) {
      bv_document_part(sheet->document);
      bv_document_cell(sheet->document);
    }
    for (size_t i = 0; i < steps->columns; i++)
      if (steps->column[i].role == BV_ROLE_VARIABLE)
        any = write_change(sheet, &there, i, any ? "; " : "") || any;
  }
  if (!any)
    return;
  bv_sheet_cell(sheet, "the same");
  bv_sheet_cell(sheet, "hold");
}

static void write_steps(const bv_sheet *sheet) {
  static const char *const head[] = {"One step", "Objectives there", "Limits"};
  if (!sheet->steps || sheet->steps->rows == 0)
    return;
  bv_sheet_head(sheet, BV_TABLE, head, 3);
  for (size_t i = 0; i < sheet->steps->rows; i++) {
    bv_row there = {sheet->steps, i};
    if (!is_idle(sheet, &there))
      write_step(sheet, &there);
  }
  write_idle(sheet);
  bv_document_end(sheet->document);
}

/* Designs near a front have no neighbours on it among themselves. */
void bv_sheet_reasons(const bv_sheet *sheet) {
  write_limits(sheet);
  if (!bv_front_is_near(sheet->row->front))
    find_nearest(sheet);
  write_steps(sheet);
}
