/* SPDX-License-Identifier: MIT */
/* The parts of a sheet that are made by code. Private to src/view/sheet*.c. */
#ifndef BV_VIEW_SHEET_BLOCK_H
#define BV_VIEW_SHEET_BLOCK_H

#include "view/document.h"
#include "view/row.h"
#include "view/wave.h"

/* A sheet while it is written. */
typedef struct bv_sheet {
  bv_document *document;
  const bv_row *row;
  const bv_front *steps; /* or NULL */
  bool has_circuit;      /* the row describes one */
  bv_circuit circuit;
  bool has_wave; /* its charge reaches the target */
  bv_waveforms wave;
  bv_error wave_error; /* else why not */
} bv_sheet;

/* A block: whether the row has what it needs, and what prints it. */
typedef struct bv_sheet_block {
  const char *name;
  bool (*usable)(const bv_sheet *sheet);
  void (*print)(const bv_sheet *sheet);
} bv_sheet_block;

/* Losses by mechanism, the largest first, with bars. */
bool bv_sheet_has_losses(const bv_sheet *sheet);
void bv_sheet_losses(const bv_sheet *sheet);

/* Charge curve; first and last cycles, in a page as charts, else as a table. */
bool bv_sheet_has_circuit(const bv_sheet *sheet);
void bv_sheet_charge(const bv_sheet *sheet);
bool bv_sheet_has_cycles(const bv_sheet *sheet);
void bv_sheet_cycles(const bv_sheet *sheet);

/* The circuit at the ends of the supply and with other tolerances. */
void bv_sheet_corners(const bv_sheet *sheet);

/* How far each limit is, the nearest rows, what single steps change. */
bool bv_sheet_has_reasons(const bv_sheet *sheet);
void bv_sheet_reasons(const bv_sheet *sheet);

/* Appends a text, a value in an SI unit (NULL: none) or a share as percent to
 * what is under way. */
void bv_sheet_text(const bv_sheet *sheet, const char *text);
void bv_sheet_value(const bv_sheet *sheet, double value, const char *si);
void bv_sheet_percent(const bv_sheet *sheet, double share);

/* A cell with a text or a value, and a table with its header. */
void bv_sheet_cell(const bv_sheet *sheet, const char *text);
void bv_sheet_cell_value(const bv_sheet *sheet, double value, const char *si);
void bv_sheet_head(const bv_sheet *sheet, bv_block table,
                   const char *const *cells, size_t count);

#endif
