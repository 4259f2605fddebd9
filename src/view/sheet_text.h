/* SPDX-License-Identifier: MIT */
/* What a design sheet says, as data. Private to src/view/sheet*.c. */
#ifndef BV_VIEW_SHEET_TEXT_H
#define BV_VIEW_SHEET_TEXT_H

#include <stddef.h>

typedef enum bv_sheet_kind {
  BV_SHEET_HEADING,
  BV_SHEET_TEXT,    /* a paragraph */
  BV_SHEET_CAUTION, /* one that stands out */
  BV_SHEET_ITEM,    /* of a list */
  BV_SHEET_STEP,    /* of a numbered list */
  BV_SHEET_TABLE,   /* header of a table, cells parted by | */
  BV_SHEET_ROW,     /* of it */
  BV_SHEET_BLOCK,   /* made by a function of sheet.c called by its name */
  BV_SHEET_KIND_COUNT
} bv_sheet_kind;

/* One line of the sheet.
 *
 * In a text {name} stands for the row's value of a result, in four significant
 * digits and its unit. Before the closing brace may stand %: as percent; #: as
 * a whole number; /2: half of it. A line is left out where one of its results
 * is missing in the front, and where its condition doesn't hold: `name` (a
 * number, not zero),
 * `!name` (zero), `name>1`, `name<1e9` or `name=word`; a number may be another
 * result's name. */
typedef struct bv_sheet_line {
  bv_sheet_kind kind;
  const char *when; /* NULL: always */
  const char *text;
} bv_sheet_line;

extern const bv_sheet_line bv_sheet_lines[];
extern const size_t bv_sheet_line_count;

#endif
