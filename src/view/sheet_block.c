/* SPDX-License-Identifier: MIT */
/* Cells of the sheet, and its block of losses. */
#include "view/sheet_block.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/charge.h"
#include "view/number.h"

/* Significant digits of a value. */
enum { DIGITS = 4 };

void bv_sheet_text(const bv_sheet *sheet, const char *text) {
  bv_document_text(sheet->document, text, strlen(text));
}

void bv_sheet_value(const bv_sheet *sheet, double value, const char *si) {
  char number[BV_NUMBER_SIZE];
  bv_buffer shown = {0};
  bv_shown_unit unit = bv_number_unit(value, si ? si : "", DIGITS);
  /* A sheet has round numbers of a job beside measured ones. */
  bv_number_drop_zeros(bv_number_text(number, value, unit, DIGITS));
  bv_buffer_print(&shown, "%s%s", number, *unit.text ? " " : "");
  bv_number_typeset_unit(&shown, unit.text);
  if (shown.text)
    bv_document_value(sheet->document, value, shown.text);
  sheet->document->out->failed |= shown.failed;
  bv_buffer_free(&shown);
}

void bv_sheet_percent(const bv_sheet *sheet, double value) {
  char number[BV_NUMBER_SIZE], shown[BV_NUMBER_SIZE + 2];
  bv_shown_unit percent = {.factor = 0.01, .text = "%"};
  snprintf(shown, sizeof shown, "%s %%",
           bv_number_text(number, value, percent, 3));
  bv_document_value(sheet->document, value, shown);
}

void bv_sheet_cell(const bv_sheet *sheet, const char *text) {
  bv_document_cell(sheet->document);
  bv_sheet_text(sheet, text);
}

void bv_sheet_cell_value(const bv_sheet *sheet, double value, const char *si) {
  bv_document_cell(sheet->document);
  bv_sheet_value(sheet, value, si);
}

void bv_sheet_head(const bv_sheet *sheet, bv_block table,
                   const char *const *cells, size_t count) {
  bv_document_begin(sheet->document, table, count);
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
  bv_sheet_head(sheet, BV_TABLE, head, 4);
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
