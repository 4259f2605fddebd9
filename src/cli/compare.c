/* SPDX-License-Identifier: MIT */
/* brimvolt compare: rows of a front side by side. */
#include "view/compare.h"
#include "view/row.h"

#include <stdlib.h>

#include "cli/command.h"
#include "cli/list.h"
#include "cli/out.h"
#include "table/front.h"

typedef struct compare_options {
  const char *rows;
  uint64_t width;
} compare_options;

static const bv_option options_of_compare[] = {
    {"rows", "ID,ID…", "the rows of the front", BV_OPTION_TEXT,
     offsetof(compare_options, rows), 0, 0, NULL},
    {"width", "N", "letters a line (the terminal's, else 120); 0: no limit",
     BV_OPTION_WHOLE, offsetof(compare_options, width), 0, 1e6, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};

static void set_defaults(void *options) {
  *(compare_options *) options = (compare_options){.width = bv_out_width()};
}

static bv_status find_rows(const bv_front *front, const bv_list *ids,
                           size_t *rows, bv_error *error) {
  for (size_t i = 0; i < ids->count; i++) {
    bv_row row;
    if (bv_row_find(front, ids->words[i], &row, error) != BV_OK)
      return BV_USAGE;
    rows[i] = row.index;
  }
  return BV_OK;
}

static bv_status compare(const bv_front *front, const compare_options *options,
                         bv_buffer *text, bv_error *error) {
  bv_list ids = {0};
  bv_status status = bv_list_split(options->rows, &ids, error);
  size_t *rows = calloc(ids.count + 1, sizeof *rows);
  if (status == BV_OK)
    status = rows ? find_rows(front, &ids, rows, error)
                  : bv_fail(error, BV_INTERNAL, "out of memory");
  if (status == BV_OK)
    status = bv_view_compare(front, (bv_picked){rows, ids.count},
                             (size_t) options->width, text, error);
  free(rows);
  bv_list_free(&ids);
  return status;
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const compare_options *options = given;
  bv_front front;
  bv_buffer text = {0};
  if (!options->rows)
    return bv_fail(error, BV_USAGE, "compare: expected --rows ID,ID…");
  bv_status status = bv_front_read(words->words[0], &front, error);
  if (status != BV_OK)
    return status;
  status = compare(&front, options, &text, error);
  if (status == BV_OK)
    status = bv_out_write(&text, error);
  bv_buffer_free(&text);
  bv_front_free(&front);
  return status;
}

const bv_command bv_compare_command = {
    .name = "compare",
    .takes = "FRONT.csv",
    .summary = "show rows of a front side by side, what differs first\n"
               "First the objectives that differ, then all else by falling "
               "spread: largest less\nsmallest value over the largest. Rows "
               "that don't fit "
               "the width follow below.",
    .example = "brimvolt compare front.csv --rows 3,17,40",
    .least = 1,
    .most = 1,
    .options = options_of_compare,
    .size = sizeof(compare_options),
    .defaults = set_defaults,
    .run = run};
