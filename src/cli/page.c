/* SPDX-License-Identifier: MIT */
/* brimvolt page: a front as one self-contained HTML page. */
#include "view/page.h"
#include "base/file.h"
#include "cli/command.h"
#include "cli/out.h"
#include "table/front.h"

typedef struct page_options {
  const char *output;
} page_options;

static const bv_option options_of_page[] = {
    {"output", "FILE.html", "where the page goes; left out: standard output",
     BV_OPTION_TEXT, offsetof(page_options, output), 0, 0, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};

static void set_defaults(void *options) {
  *(page_options *) options = (page_options){.output = "-"};
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const page_options *options = given;
  bv_front front;
  bv_buffer html = {0};
  bv_status status = bv_front_read(words->words[0], &front, error);
  if (status != BV_OK)
    return status;
  status = bv_view_page(&front, &html, error);
  if (status == BV_OK && options->output[0] == '-' && !options->output[1])
    status = bv_out_write(&html, error);
  else if (status == BV_OK)
    status = bv_file_replace(options->output, html.text, html.length, error);
  bv_buffer_free(&html);
  bv_front_free(&front);
  return status;
}

const bv_command bv_page_command = {
    .name = "page",
    .takes = "FRONT.csv",
    .summary = "make one self-contained HTML page of a front",
    .example = "brimvolt page front.csv --output front.html",
    .least = 1,
    .most = 1,
    .options = options_of_page,
    .size = sizeof(page_options),
    .defaults = set_defaults,
    .run = run};
