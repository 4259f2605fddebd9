/* SPDX-License-Identifier: MIT */
/* A document written as Markdown or as one self-contained HTML page: headings,
 * paragraphs, lists, tables, figures. Texts are escaped; the page has a content
 * policy that allows its own style and nothing else.
 *
 * Blocks: begin, then for each item or row bv_document_part, for each cell of a
 * row bv_document_cell, with texts and values inside; then end. */
#ifndef BV_VIEW_DOCUMENT_H
#define BV_VIEW_DOCUMENT_H

#include <stdbool.h>

#include "base/text.h"
#include "view/svg.h"

typedef enum bv_block {
  BV_PARAGRAPH,
  BV_CAUTION, /* a paragraph that stands out */
  BV_LIST,    /* of items */
  BV_STEPS,   /* of numbered items */
  BV_TABLE,   /* its first row is the header */
  BV_DATA,    /* a table behind a chart: not printed from a page */
  BV_BLOCK_COUNT
} bv_block;

typedef struct bv_document {
  bv_buffer *out;
  bool html;
  bv_block block;    /* under way */
  size_t part, cell; /* of it, counted from 1 */
  size_t columns;    /* of a table */
} bv_document;

/* Opens a document; title is the page's and the first heading. */
void bv_document_open(bv_document *document, bv_buffer *out, bool html,
                      const char *title);
void bv_document_close(bv_document *document);

/* A heading of the second level. */
void bv_document_heading(bv_document *document, const char *text);

/* columns: of a table, else 0. */
void bv_document_begin(bv_document *document, bv_block block, size_t columns);
void bv_document_part(bv_document *document);
void bv_document_cell(bv_document *document);
void bv_document_end(bv_document *document);

/* Appends a text to what is under way. */
void bv_document_text(bv_document *document, const char *text, size_t length);

/* Appends a value as shown; a page keeps the full number beside it. */
void bv_document_value(bv_document *document, double value, const char *shown);

/* A bar of a share 0 … 1, as the content of a cell. */
void bv_document_bar(bv_document *document, double share);

/* Around the pictures of a figure, which go straight to `out`; only for pages.
 */
void bv_document_figure_begin(bv_document *document);
void bv_document_figure_end(bv_document *document);

#endif
