/* SPDX-License-Identifier: MIT */
#include "view/sheet.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "view/bound.h"
#include "view/number.h"
#include "view/sheet_block.h"
#include "view/sheet_text.h"

enum { NAME_SIZE = 64 };

static const bv_sheet_block blocks[] = {
    {"losses", bv_sheet_has_losses, bv_sheet_losses},
    {"charge", bv_sheet_has_circuit, bv_sheet_charge},
    {"cycles", bv_sheet_has_cycles, bv_sheet_cycles},
    {"corners", bv_sheet_has_circuit, bv_sheet_corners},
    {"why", bv_sheet_has_reasons, bv_sheet_reasons},
};

static const bv_sheet_block *block_of(const char *name) {
  size_t i = 0;
  while (strcmp(blocks[i].name, name) != 0)
    i++;
  return &blocks[i];
}

/* A result in braces: its name and what follows it. */
typedef struct place {
  char name[NAME_SIZE];
  bool percent, whole;
  double factor;
  const char *end; /* after the brace */
} place;

static place place_at(const char *brace) {
  place p = {.factor = 1, .end = strchr(brace, '}') + 1};
  size_t length = strcspn(brace + 1, "%#/}");
  snprintf(p.name, sizeof p.name, "%.*s", (int) length, brace + 1);
  p.percent = brace[1 + length] == '%';
  p.whole = brace[1 + length] == '#';
  if (brace[1 + length] == '/')
    p.factor = 1 / strtod(brace + 2 + length, NULL);
  return p;
}

static bool has(const bv_row *row, const char *name) {
  const char *text = bv_row_text(row, name);
  return (text && *text) || !isnan(bv_row_number(row, name));
}

/* A number as it is written, or that of a result. */
static double number_of(const bv_row *row, const char *text) {
  double number;
  return bv_parse_number(text, &number) ? number : bv_row_number(row, text);
}

/* `name`, `!name`, `name>1`, `name<other` or `name=word`; see sheet_text.h. */
static bool holds(const bv_row *row, const char *when) {
  char name[NAME_SIZE];
  if (!when)
    return true;
  bool zero = *when == '!';
  size_t length = strcspn(when += zero, "<>=");
  snprintf(name, sizeof name, "%.*s", (int) length, when);
  double number = bv_row_number(row, name);
  const char *text = bv_row_text(row, name), *than = when + length;
  switch (*than) {
  case '=':
    return text ? strcmp(text, than + 1) == 0
                : number == number_of(row, than + 1);
  case '<':
    return number < number_of(row, than + 1);
  case '>':
    return number > number_of(row, than + 1);
  default:
    return zero ? number == 0 : !isnan(number) && number != 0;
  }
}

/* Whether a line belongs on this row's sheet. */
static bool usable(const bv_sheet *sheet, const bv_sheet_line *line) {
  if (line->kind == BV_SHEET_BLOCK)
    return block_of(line->text)->usable(sheet);
  if (!holds(sheet->row, line->when))
    return false;
  for (const char *at = line->text; (at = strchr(at, '{')) != NULL;) {
    place p = place_at(at);
    if (!has(sheet->row, p.name))
      return false;
    at = p.end;
  }
  return true;
}

/* Whether a usable line follows before one of a kind that ends the search. */
static bool any_before(const bv_sheet *sheet, size_t line, bool in_table) {
  for (line++; line < bv_sheet_line_count; line++) {
    const bv_sheet_line *each = &bv_sheet_lines[line];
    if (each->kind == BV_SHEET_HEADING ||
        (in_table && each->kind != BV_SHEET_ROW))
      return false;
    if (each->kind != BV_SHEET_TABLE && usable(sheet, each))
      return true;
  }
  return false;
}

/* A text, or a bound in the unit that suits it. */
static void write_words(const bv_sheet *sheet, const place *p,
                        const char *text) {
  bv_buffer bound = {0};
  bool is_bound =
      strncmp(p->name, BV_NEAR_PREFIX, strlen(BV_NEAR_PREFIX)) == 0 &&
      bv_bound_append(&bound, text, true) && !bound.failed;
  bv_sheet_text(sheet, is_bound ? bound.text : text);
  bv_buffer_free(&bound);
}

static void write_place(const bv_sheet *sheet, const place *p) {
  const char *text = bv_row_text(sheet->row, p->name);
  double number = bv_row_number(sheet->row, p->name) * p->factor;
  char whole[BV_NUMBER_SIZE];
  snprintf(whole, sizeof whole, "%.0f", number);
  if (text)
    write_words(sheet, p, text);
  else if (p->whole)
    bv_document_value(sheet->document, number, whole);
  else if (p->percent)
    bv_sheet_percent(sheet, number);
  else
    bv_sheet_value(sheet, number, bv_row_unit(sheet->row, p->name));
}

/* Writes a text up to its end or, in a table, the end of its cell, and returns
 * where it stopped. */
static const char *write_text(const bv_sheet *sheet, const char *text,
                              const char *stops) {
  while (*text && !strchr(stops, *text)) {
    size_t plain = strcspn(text, *stops ? "{|" : "{");
    bv_document_text(sheet->document, text, plain);
    text += plain;
    if (*text == '{') {
      place p = place_at(text);
      write_place(sheet, &p);
      text = p.end;
    }
  }
  return text;
}

static void write_cells(const bv_sheet *sheet, const char *text) {
  for (;;) {
    bv_document_cell(sheet->document);
    text = write_text(sheet, text, "|");
    if (!*text)
      return;
    text++;
  }
}

static size_t cells_of(const char *text) {
  size_t cells = 1;
  for (; *text; text++)
    cells += *text == '|';
  return cells;
}

static const bv_block block_kinds[BV_SHEET_KIND_COUNT] = {
    [BV_SHEET_TEXT] = BV_PARAGRAPH, [BV_SHEET_CAUTION] = BV_CAUTION,
    [BV_SHEET_ITEM] = BV_LIST,      [BV_SHEET_STEP] = BV_STEPS,
    [BV_SHEET_TABLE] = BV_TABLE,    [BV_SHEET_ROW] = BV_TABLE};

/* Whether a line goes on with the block that is open. */
static bool goes_on(bv_sheet_kind open, bv_sheet_kind kind) {
  return (open == BV_SHEET_TABLE && kind == BV_SHEET_ROW) ||
         (open == kind && (kind == BV_SHEET_ITEM || kind == BV_SHEET_STEP));
}

static void write_line(const bv_sheet *sheet, const bv_sheet_line *line) {
  bv_document *document = sheet->document;
  switch (line->kind) {
  case BV_SHEET_HEADING:
    bv_document_heading(document, line->text);
    break;
  case BV_SHEET_BLOCK:
    block_of(line->text)->print(sheet);
    break;
  case BV_SHEET_TABLE:
  case BV_SHEET_ROW:
    bv_document_part(document);
    write_cells(sheet, line->text);
    break;
  default:
    bv_document_part(document);
    write_text(sheet, line->text, "");
  }
}

static bool opens_block(bv_sheet_kind kind) {
  return kind != BV_SHEET_HEADING && kind != BV_SHEET_BLOCK;
}

/* Writes the lines that belong on the sheet; names sections without any. */
static void write_lines(const bv_sheet *sheet, bv_buffer *left_out) {
  bv_sheet_kind open = BV_SHEET_HEADING;
  for (size_t i = 0; i < bv_sheet_line_count; i++) {
    const bv_sheet_line *line = &bv_sheet_lines[i];
    bool heading = line->kind == BV_SHEET_HEADING;
    bool table = line->kind == BV_SHEET_TABLE;
    if (heading && !any_before(sheet, i, false))
      bv_buffer_print(left_out, "%s%s", left_out->length ? ", " : "",
                      line->text);
    if (heading || table ? !any_before(sheet, i, table) : !usable(sheet, line))
      continue;
    if (!goes_on(open, line->kind)) {
      if (opens_block(open))
        bv_document_end(sheet->document);
      open = line->kind;
      if (opens_block(open))
        bv_document_begin(sheet->document, block_kinds[open],
                          cells_of(line->text));
    }
    write_line(sheet, line);
  }
  if (opens_block(open))
    bv_document_end(sheet->document);
}

static void write_paragraph(const bv_sheet *sheet, const bv_buffer *text) {
  bv_document_begin(sheet->document, BV_PARAGRAPH, 0);
  bv_document_part(sheet->document);
  bv_document_text(sheet->document, text->text, text->length);
  bv_document_end(sheet->document);
}

/* "Row 17 of front.csv. Study …, seed …" as far as it is known. */
static void write_origin(const bv_sheet *sheet) {
  const bv_origin *origin = &sheet->row->front->origin;
  bv_buffer text = {0};
  bool is_near = bv_front_is_near(sheet->row->front);
  bv_buffer_print(&text, "%s %.15g %s the front.", is_near ? "Design" : "Row",
                  bv_front_id(sheet->row->front, sheet->row->index),
                  is_near ? "near" : "of");
  if (origin->study)
    bv_buffer_print(&text, " Study %s, seed %llu, %llu evaluations.",
                    origin->study, (unsigned long long) origin->seed,
                    (unsigned long long) origin->evaluations);
  if (origin->version)
    bv_buffer_print(&text, " Brimvolt %s.", origin->version);
  if (origin->digest)
    bv_buffer_print(&text, " SHA-256 of the study %.16s.", origin->digest);
  write_paragraph(sheet, &text);
  bv_buffer_free(&text);
}

static void write_left_out(const bv_sheet *sheet, const bv_buffer *sections) {
  bv_buffer text = {0};
  if (!sections->length)
    return;
  bv_buffer_print(&text,
                  "Left out, since the front lacks the columns (or its sidecar "
                  "file) for them: %s.",
                  sections->text);
  write_paragraph(sheet, &text);
  bv_buffer_free(&text);
}

static void make_wave(bv_sheet *sheet) {
  bv_wave_plan plan = {2, 24, 400};
  sheet->has_circuit =
      bv_row_circuit(sheet->row, &sheet->circuit, NULL, NULL) == BV_OK;
  sheet->has_wave =
      sheet->has_circuit && bv_wave_make(&sheet->circuit, &plan, &sheet->wave,
                                         &sheet->wave_error) == BV_OK;
}

bv_status bv_sheet_print(const bv_row *row, const bv_sheet_options *options,
                         bv_buffer *out, bv_error *error) {
  bv_document document;
  bv_sheet sheet = {.document = &document, .row = row, .steps = options->steps};
  make_wave(&sheet);
  bv_buffer title = {0}, left_out = {0};
  const char *study = row->front->origin.title;
  bv_buffer_print(&title, "Design sheet%s%s", study && *study ? ": " : "",
                  study ? study : "");
  bv_document_open(&document, out, options->html, title.text ? title.text : "");
  write_origin(&sheet);
  write_lines(&sheet, &left_out);
  write_left_out(&sheet, &left_out);
  bv_document_close(&document);
  bool failed = out->failed || title.failed || left_out.failed;
  bv_wave_free(&sheet.wave);
  bv_buffer_free(&title);
  bv_buffer_free(&left_out);
  return failed ? bv_fail(error, BV_INTERNAL, "out of memory for the sheet")
                : BV_OK;
}
