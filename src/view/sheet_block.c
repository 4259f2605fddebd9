/* SPDX-License-Identifier: MIT */
/* Blocks of the sheet: losses, limits, nearest rows. */
#include "view/sheet_block.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/charge.h"

enum { NEAREST = 3 };

void bv_sheet_text(const bv_sheet *sheet, const char *text) {
  bv_document_text(sheet->document, text, strlen(text));
}

void bv_sheet_cell(const bv_sheet *sheet, const char *text) {
  bv_document_cell(sheet->document);
  bv_sheet_text(sheet, text);
}

void bv_sheet_cell_value(const bv_sheet *sheet, double value, const char *si) {
  bv_document_cell(sheet->document);
  bv_sheet_value(sheet, value, si);
}

void bv_sheet_head(const bv_sheet *sheet, const char *const *cells,
                   size_t count) {
  bv_document_begin(sheet->document, BV_TABLE, count);
  bv_document_part(sheet->document);
  for (size_t i = 0; i < count; i++)
    bv_sheet_cell(sheet, cells[i]);
}

/* Losses. */

typedef struct loss {
  const char *name, *meaning;
  double energy;
} loss;

static int compare_losses(const void *a, const void *b) {
  double x = ((const loss *) a)->energy, y = ((const loss *) b)->energy;
  return x < y ? 1 : x > y ? -1 : 0;
}

/* Fills the mechanisms the row has, the largest first, and returns how many. */
static size_t find_losses(const bv_sheet *sheet, loss *losses) {
#define LOSS(mechanism, meaning) {"loss_energy_" #mechanism, meaning, 0},
  static const loss all[] = {BV_LOSS_MAP(LOSS)};
#undef LOSS
  size_t count = 0;
  for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
    losses[count] = all[i];
    losses[count].energy = bv_row_number(sheet->row, all[i].name);
    count += losses[count].energy > 0;
  }
  qsort(losses, count, sizeof *losses, compare_losses);
  return count;
}

bool bv_sheet_has_losses(const bv_sheet *sheet) {
  loss losses[32];
  return bv_row_number(sheet->row, "loss_energy") > 0 &&
         find_losses(sheet, losses) > 0;
}

void bv_sheet_losses(const bv_sheet *sheet) {
  static const char *const head[] = {"Mechanism", "Energy", "Share", ""};
  loss losses[32];
  size_t count = find_losses(sheet, losses);
  double all = bv_row_number(sheet->row, "loss_energy");
  bv_sheet_head(sheet, head, 4);
  for (size_t i = 0; i < count; i++) {
    bv_document_part(sheet->document);
    bv_sheet_cell(sheet, losses[i].meaning);
    bv_sheet_cell_value(sheet, losses[i].energy, "J");
    bv_document_cell(sheet->document);
    bv_sheet_percent(sheet, losses[i].energy / all);
    bv_document_cell(sheet->document);
    bv_document_bar(sheet->document, losses[i].energy / losses[0].energy);
  }
  bv_document_part(sheet->document);
  bv_sheet_cell(sheet, "all together");
  bv_sheet_cell_value(sheet, all, "J");
  bv_sheet_cell(sheet, "");
  bv_sheet_cell(sheet, "");
  bv_document_end(sheet->document);
}

/* Limits. */

static bool limited(const bv_column *column) {
  return isfinite(column->limit_min) || isfinite(column->limit_max);
}

static bool is_objective(const bv_column *column) {
  return column->role == BV_ROLE_MINIMISE || column->role == BV_ROLE_MAXIMISE;
}

bool bv_sheet_has_reasons(const bv_sheet *sheet) {
  const bv_front *front = sheet->row->front;
  for (size_t i = 0; i < front->columns; i++)
    if (limited(&front->column[i]) || is_objective(&front->column[i]))
      return true;
  return false;
}

/* A limit at this row: what is left as a share of the limit, below 0.02 said to
 * bind. */
static void write_limit(const bv_sheet *sheet, const bv_column *column,
                        double limit, double left) {
  double value = bv_row_number(sheet->row, column->name);
  double share = left / fabs(limit);
  bv_document_part(sheet->document);
  bv_sheet_cell(sheet, column->name);
  bv_sheet_cell_value(sheet, value, column->unit);
  bv_document_cell(sheet->document);
  bv_sheet_text(sheet, limit == column->limit_max ? "at most " : "at least ");
  bv_sheet_value(sheet, limit, column->unit);
  bv_document_cell(sheet->document);
  if (limit != 0)
    bv_sheet_percent(sheet, share);
  else
    bv_sheet_value(sheet, left, column->unit);
  if (limit != 0 ? share < 0.02 : left <= 0)
    bv_sheet_text(sheet, ", binds");
}

static void write_limits(const bv_sheet *sheet) {
  static const char *const head[] = {"Limit on", "Here", "Limit", "Left"};
  const bv_front *front = sheet->row->front;
  bool open = false;
  for (size_t i = 0; i < front->columns; i++) {
    const bv_column *column = &front->column[i];
    if (column->is_text || !limited(column))
      continue;
    if (!open)
      bv_sheet_head(sheet, head, 4);
    open = true;
    double value = bv_row_number(sheet->row, column->name);
    if (isfinite(column->limit_max))
      write_limit(sheet, column, column->limit_max, column->limit_max - value);
    if (isfinite(column->limit_min))
      write_limit(sheet, column, column->limit_min, value - column->limit_min);
  }
  if (open)
    bv_document_end(sheet->document);
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
 * units of the front's extent. */
static void add_distances(const bv_row *here, size_t column,
                          double *distances) {
  const bv_front *front = here->front;
  double scale = extent(front, column);
  for (size_t row = 0; row < front->rows && scale > 0; row++) {
    double step = (number_at(front, row, column) -
                   number_at(front, here->index, column)) /
                  scale;
    distances[row] += step * step;
  }
}

static size_t nearest(const double *distances, size_t count) {
  size_t best = 0;
  for (size_t i = 1; i < count; i++)
    if (distances[i] < distances[best])
      best = i;
  return best;
}

/* What a column of another row changes; nothing where it is the same. */
static bool write_change(const bv_sheet *sheet, size_t row, size_t column,
                         bool more) {
  const bv_front *front = sheet->row->front;
  const bv_column *c = &front->column[column];
  const bv_value *there = bv_front_value(front, row, column);
  const bv_value *here = bv_front_value(front, sheet->row->index, column);
  if (c->is_text ? strcmp(there->text ? there->text : "",
                          here->text ? here->text : "") == 0
                 : there->number == here->number || isnan(there->number))
    return false;
  bv_sheet_text(sheet, more ? "; " : "");
  bv_sheet_text(sheet, c->name);
  bv_sheet_text(sheet, " ");
  if (c->is_text)
    bv_sheet_text(sheet, there->text ? there->text : "");
  else
    bv_sheet_value(sheet, there->number, c->unit);
  return true;
}

/* The changed columns of variables or of objectives in one cell. */
static void write_changes(const bv_sheet *sheet, size_t row, bool objectives) {
  const bv_front *front = sheet->row->front;
  bool more = false;
  bv_document_cell(sheet->document);
  for (size_t i = 0; i < front->columns; i++) {
    bool wanted = objectives ? is_objective(&front->column[i])
                             : front->column[i].role == BV_ROLE_VARIABLE;
    if (wanted && write_change(sheet, row, i, more))
      more = true;
  }
}

static void write_nearest(const bv_sheet *sheet, double *distances) {
  static const char *const head[] = {"Near on the front", "Objectives there",
                                     "Choices that differ"};
  const bv_front *front = sheet->row->front;
  bv_sheet_head(sheet, head, 3);
  for (size_t i = 0; i < NEAREST; i++) {
    size_t row = nearest(distances, front->rows);
    char text[40];
    if (!isfinite(distances[row]))
      break;
    distances[row] = HUGE_VAL;
    snprintf(text, sizeof text, "row %.15g", bv_front_id(front, row));
    bv_document_part(sheet->document);
    bv_sheet_cell(sheet, text);
    write_changes(sheet, row, true);
    write_changes(sheet, row, false);
  }
  bv_document_end(sheet->document);
}

void bv_sheet_reasons(const bv_sheet *sheet) {
  const bv_front *front = sheet->row->front;
  double *distances = calloc(front->rows, sizeof *distances);
  write_limits(sheet);
  if (!distances) {
    sheet->document->out->failed = true;
    return;
  }
  size_t objectives = 0;
  for (size_t i = 0; i < front->columns; i++)
    if (is_objective(&front->column[i]) && !front->column[i].is_text) {
      add_distances(sheet->row, i, distances);
      objectives++;
    }
  distances[sheet->row->index] = HUGE_VAL;
  if (objectives > 0 && front->rows > 1)
    write_nearest(sheet, distances);
  free(distances);
}
