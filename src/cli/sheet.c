/* SPDX-License-Identifier: MIT */
/* brimvolt sheet: the design sheet of one row of a front. */
#include "view/sheet.h"

#include <string.h>
#include <strings.h>

#include "cli/command.h"
#include "cli/out.h"

typedef struct sheet_options {
  const char *row, *output;
  int format;
} sheet_options;

enum { FORMAT_BY_NAME, FORMAT_MARKDOWN, FORMAT_HTML };
static const char *const formats[] = {"name", "markdown", "html", NULL};

#define AT(member) offsetof(sheet_options, member)
static const bv_option options_of_sheet[] = {
    {"row", "ID", "the row of the front", BV_OPTION_TEXT, AT(row), 0, 0, NULL},
    {"output", "FILE", "write here, in one step (standard output)",
     BV_OPTION_TEXT, AT(output), 0, 0, NULL},
    {"format", "WORD",
     "markdown, html, or name: html where FILE ends in .html (name)",
     BV_OPTION_WORD, AT(format), 0, 0, formats},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  *(sheet_options *) options = (sheet_options){.format = FORMAT_BY_NAME};
}

static bool wants_html(const sheet_options *options) {
  const char *end = options->output ? strrchr(options->output, '.') : NULL;
  if (options->format != FORMAT_BY_NAME)
    return options->format == FORMAT_HTML;
  return end && (strcasecmp(end, ".html") == 0 || strcasecmp(end, ".htm") == 0);
}

static bv_status print(const bv_front *front, const sheet_options *options,
                       bv_error *error) {
  bv_row row;
  bv_buffer text = {0};
  bv_status status = bv_row_find(front, options->row, &row, error);
  if (status == BV_OK)
    status = bv_sheet_print(&row, wants_html(options), &text, error);
  if (status == BV_OK)
    status = bv_out_put(options->output, &text, error);
  bv_buffer_free(&text);
  return status;
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const sheet_options *options = given;
  bv_front front;
  if (!options->row)
    return bv_fail(error, BV_USAGE, "sheet: expected --row ID");
  bv_status status = bv_front_read(words->words[0], &front, error);
  if (status != BV_OK)
    return status;
  status = print(&front, options, error);
  bv_front_free(&front);
  return status;
}

const bv_command bv_sheet_command = {
    .name = "sheet",
    .takes = "FRONT.csv",
    .summary = "write what is needed to wind, build and test one design\n\n"
               "Every number is the row's own. A sheet is no licence: high "
               "voltage kills, local\ncodes and a licensed practitioner "
               "decide.",
    .example = "brimvolt sheet front.csv --row 17 --output sheet.html",
    .least = 1,
    .most = 1,
    .options = options_of_sheet,
    .size = sizeof(sheet_options),
    .defaults = set_defaults,
    .run = run};
