/* SPDX-License-Identifier: MIT */
#include "view/document.h"

#include <math.h>
#include <string.h>

#include "view/html.h"

static const char page_style[] =
    "body{font:15px/1.45 system-ui,'DejaVu Sans',sans-serif;color:#222;"
    "background:#fff;max-width:52rem;margin:1.5rem auto;padding:0 1rem}"
    "h1{font-size:1.5rem;margin:0 0 .5rem}"
    "h2{font-size:1.1rem;margin:1.2rem 0 .35rem;border-bottom:1px solid #888}"
    "p{margin:.35rem 0}ul,ol{margin:.35rem 0;padding-left:1.4rem}"
    "table{border-collapse:collapse;width:100%;margin:.35rem 0}"
    "th,td{text-align:left;vertical-align:top;padding:.12rem .5rem .12rem 0;"
    "border-bottom:1px solid #ddd}"
    "thead th{border-bottom:1px solid #888}"
    "tbody th{font-weight:400;min-width:8em}"
    "data{font-variant-numeric:tabular-nums;white-space:nowrap}"
    ".caution{border:2px solid #a33;border-left-width:.7rem;padding:.4rem "
    ".6rem}"
    "figure{margin:.5rem 0;display:flex;flex-wrap:wrap;gap:.5rem}"
    "figure svg{flex:1 1 18rem}.bar{display:block;width:100%;height:.8em}"
    ".bar rect{fill:#0072b2}"
    "@media screen and (prefers-color-scheme:dark){"
    "body{color:#e8e8e8;background:#1c1c1c}th,td{border-color:#444}"
    ".bar rect{fill:#56b4e9}}"
    "@page{size:A4;margin:7mm 10mm}"
    "@media print{body{font-size:7.7pt;line-height:1.08;max-width:none;"
    "margin:0;padding:0}h1{font-size:14pt}"
    "h2{font-size:10pt;margin:1.6mm 0 .5mm;break-after:avoid}"
    "p,ul,ol,table{margin:.5mm 0}ul,ol{columns:2;column-gap:7mm}"
    ".pair thead,.data{display:none}.pair,.pair tbody{display:block}"
    ".pair tbody{columns:2;column-gap:7mm}.pair tr{display:flex;"
    "border-bottom:1px solid #ddd}.pair th,.pair td{border:0;flex:1}"
    ".pair tbody th{flex:0 0 8.5em;min-width:0}table:not(.pair) tbody "
    "th{min-width:13em}.caution{padding:.6mm "
    "2mm;border-width:.3mm;margin:.3mm 0}"
    "tr,li,figure,p{break-inside:avoid}th,td{padding:.1mm 2mm .1mm 0}"
    "figure{margin:.6mm 0}figure svg{max-height:27mm}}"
    "@media screen and (max-width:40rem){table{display:block;overflow-x:auto}}";

static void append(bv_document *document, const char *text) {
  bv_buffer_append(document->out, text, strlen(text));
}

/* In Markdown a text must not become markup: its special characters get a
 * backslash (CommonMark 2.4), < and & an entity, line breaks become blanks. */
static void append_markdown(bv_buffer *out, const char *text, size_t length) {
  for (size_t i = 0; i < length; i++) {
    char c = text[i];
    if (c == '<' || c == '&')
      bv_buffer_print(out, "%s", c == '<' ? "&lt;" : "&amp;");
    else if ((unsigned char) c < 0x20 || c == 0x7f)
      bv_buffer_append(out, " ", 1);
    else
      bv_buffer_print(out, "%s%c", strchr("\\`*_[]|#>~", c) ? "\\" : "", c);
  }
}

void bv_document_text(bv_document *document, const char *text, size_t length) {
  if (!document->html) {
    append_markdown(document->out, text, length);
    return;
  }
  bv_buffer part = {0};
  bv_buffer_append(&part, text, length);
  bv_html_escape(document->out, part.text);
  bv_buffer_free(&part);
}

static void append_text(bv_document *document, const char *text) {
  bv_document_text(document, text, strlen(text));
}

static void open_page(bv_document *document, const char *title) {
  append(document, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n"
                   "<meta charset=\"utf-8\">\n"
                   "<meta http-equiv=\"Content-Security-Policy\" content=\""
                   "default-src 'none'; style-src ");
  bv_html_hash(document->out, page_style);
  append(document, " ");
  bv_html_hash(document->out, bv_svg_style);
  append(document, "; base-uri 'none'; form-action 'none'\">\n"
                   "<meta name=\"viewport\" content=\"width=device-width, "
                   "initial-scale=1\">\n"
                   "<meta name=\"color-scheme\" content=\"light dark\">\n"
                   "<title>");
  append_text(document, title);
  bv_buffer_print(document->out,
                  "</title>\n<style>%s</style>\n<style>%s</style>\n"
                  "</head>\n<body>\n<h1>",
                  page_style, bv_svg_style);
}

void bv_document_open(bv_document *document, bv_buffer *out, bool html,
                      const char *title) {
  *document = (bv_document){.out = out, .html = html};
  if (html)
    open_page(document, title);
  else
    append(document, "# ");
  append_text(document, title);
  append(document, html ? "</h1>\n" : "\n");
}

void bv_document_close(bv_document *document) {
  if (document->html)
    append(document, "</body>\n</html>\n");
}

void bv_document_heading(bv_document *document, const char *text) {
  append(document, document->html ? "<h2>" : "\n## ");
  append_text(document, text);
  append(document, document->html ? "</h2>\n" : "\n");
}

static const struct {
  const char *open, *close;             /* of the block, in a page */
  const char *part, *part_end;          /* of an item or row, in a page */
  const char *markdown, *markdown_part; /* before block and part */
} forms[BV_BLOCK_COUNT] = {
    [BV_PARAGRAPH] = {"<p>", "</p>\n", "", "", "\n", ""},
    [BV_CAUTION] = {"<p class=\"caution\" role=\"note\">", "</p>\n", "", "",
                    "\n> ", ""},
    [BV_LIST] = {"<ul>\n", "</ul>\n", "<li>", "</li>\n", "\n", "- "},
    [BV_STEPS] = {"<ol>\n", "</ol>\n", "<li>", "</li>\n", "\n", "1. "},
    [BV_TABLE] = {"<table>\n<thead>\n", "</tbody>\n</table>\n", "<tr>",
                  "</tr>\n", "\n", ""},
    [BV_DATA] = {"<table class=\"data\">\n<thead>\n", "</tbody>\n</table>\n",
                 "<tr>", "</tr>\n", "\n", ""},
};

void bv_document_begin(bv_document *document, bv_block block, size_t columns) {
  document->block = block;
  document->part = 0;
  document->columns = columns;
  if (document->html && block == BV_TABLE && columns == 2)
    append(document, "<table class=\"pair\">\n<thead>\n");
  else
    append(document,
           document->html ? forms[block].open : forms[block].markdown);
}

static bool in_table(const bv_document *document) {
  return document->block == BV_TABLE || document->block == BV_DATA;
}

/* Ends a cell; the first of a row and those of the first row are headers. */
static void end_cell(bv_document *document) {
  bool head = document->part == 1 || document->cell == 1;
  if (in_table(document) && document->cell > 0)
    append(document, !document->html ? " |" : head ? "</th>" : "</td>");
}

static void end_head(bv_document *document) {
  if (document->html) {
    append(document, "</thead>\n<tbody>\n");
    return;
  }
  append(document, "|");
  for (size_t i = 0; i < document->columns; i++)
    append(document, " --- |");
  append(document, "\n");
}

static void end_part(bv_document *document) {
  if (document->part == 0)
    return;
  end_cell(document);
  append(document, document->html ? forms[document->block].part_end : "\n");
  if (in_table(document) && document->part == 1)
    end_head(document);
}

void bv_document_part(bv_document *document) {
  end_part(document);
  document->part++;
  document->cell = 0;
  append(document, document->html ? forms[document->block].part
                                  : forms[document->block].markdown_part);
}

void bv_document_cell(bv_document *document) {
  end_cell(document);
  document->cell++;
  if (!document->html)
    append(document, document->cell == 1 ? "| " : " ");
  else if (document->part == 1)
    append(document, "<th scope=\"col\">");
  else
    append(document, document->cell == 1 ? "<th scope=\"row\">" : "<td>");
}

void bv_document_end(bv_document *document) {
  end_part(document);
  if (document->html)
    append(document, forms[document->block].close);
  else if (document->part == 0)
    append(document, "\n");
}

void bv_document_value(bv_document *document, double value, const char *shown) {
  char number[BV_NUMBER_SIZE];
  if (document->html)
    bv_buffer_print(document->out, "<data value=\"%s\">",
                    bv_format_number(number, value));
  append_text(document, shown);
  if (document->html)
    append(document, "</data>");
}

void bv_document_bar(bv_document *document, double share) {
  share = share >= 0 ? fmin(share, 1) : 0;
  if (document->html)
    bv_buffer_print(document->out,
                    "<svg class=\"bar\" viewBox=\"0 0 100 4\" "
                    "preserveAspectRatio=\"none\" aria-hidden=\"true\"><rect "
                    "width=\"%.1f\" height=\"4\"/></svg>",
                    100 * share);
  for (int i = 0; !document->html && i < (int) lround(20 * share); i++)
    append(document, "=");
}

void bv_document_figure_begin(bv_document *document) {
  append(document, "<figure>\n");
}

void bv_document_figure_end(bv_document *document) {
  append(document, "</figure>\n");
}
