/* SPDX-License-Identifier: MIT */
/* brimvolt page: a front as one self-contained HTML page. */
#include "view/page.h"

#include <stdio.h>
#include <string.h>

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

/* Designs near a front are shown where they are kept beside it. */
static bv_status read_near(const bv_front *front, const char *path,
                           bv_front *near, bv_error *error) {
  *near = (bv_front){0};
  if (strcmp(path, "-") == 0)
    return BV_OK;
  bv_status status = bv_front_read_near(front, path, near, error);
  if (status == BV_BAD_DATA)
    fprintf(stderr, "brimvolt: %s; left out\n", error->text);
  return status == BV_NO_INPUT || status == BV_BAD_DATA ? BV_OK : status;
}

static bv_status make_page(const char *path, bv_buffer *html, bv_error *error) {
  bv_front front, near = {0};
  bv_status status = bv_front_read(path, &front, error);
  if (status == BV_OK)
    status = read_near(&front, path, &near, error);
  if (status == BV_OK)
    status = bv_view_page(&front, &near, html, error);
  bv_front_free(&near);
  bv_front_free(&front);
  return status;
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const page_options *options = given;
  bv_buffer html = {0};
  bv_status status = bv_out_spare(options->output, words->words[0], error);
  if (status == BV_OK)
    status = make_page(words->words[0], &html, error);
  if (status == BV_OK)
    status = bv_out_put(options->output, &html, error);
  bv_buffer_free(&html);
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
