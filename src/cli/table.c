/* SPDX-License-Identifier: MIT */
/* brimvolt table: a front on the terminal. */
#include <stdio.h>

#include "cli/command.h"
#include "cli/out.h"
#include "table/front.h"

typedef struct table_options {
  uint64_t best;
} table_options;

static const bv_option options_of_table[] = {
    {"best", "N", "rows shown at most, spread over the front (every row)",
     BV_OPTION_WHOLE, offsetof(table_options, best), 1, 1e9, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};

static void set_defaults(void *options) {
  *(table_options *) options = (table_options){0};
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  (void) given;
  bv_front front;
  bv_status status = bv_front_read(words->words[0], &front, error);
  if (status != BV_OK)
    return status;
  bv_buffer csv = {0};
  bv_front_print_csv(&front, &csv);
  status = bv_out_write(&csv, error);
  bv_buffer_free(&csv);
  bv_front_free(&front);
  return status;
}

const bv_command bv_table_command = {.name = "table",
                                     .takes = "FRONT.csv",
                                     .summary = "show a front as a table",
                                     .example =
                                         "brimvolt table front.csv --best 12",
                                     .least = 1,
                                     .most = 1,
                                     .options = options_of_table,
                                     .size = sizeof(table_options),
                                     .defaults = set_defaults,
                                     .run = run};
