/* SPDX-License-Identifier: MIT */
/* brimvolt status: how far a sweep is, from its files alone. */
#include "cli/command.h"
#include "cli/out.h"
#include "run/outlook.h"

typedef struct status_options {
  bool missing;
} status_options;

static const bv_option options_of_status[] = {
    {"missing", NULL,
     "only the slices to be run again, as a job array takes them: 0,3-5",
     BV_OPTION_FLAG, offsetof(status_options, missing), 0, 0, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};

static void set_defaults(void *options) {
  *(status_options *) options = (status_options){0};
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const status_options *options = given;
  bv_outlook outlook;
  bv_buffer text = {0};
  bv_status status = bv_outlook_make(words->words[0], &outlook, error);
  if (status != BV_OK)
    return status;
  if (options->missing)
    bv_outlook_missing(&outlook, &text);
  else
    bv_outlook_tell(&outlook, &text);
  if (options->missing && text.length > 0)
    bv_buffer_print(&text, "\n");
  status = bv_out_write(&text, error);
  bv_buffer_free(&text);
  bv_outlook_free(&outlook);
  return status;
}

const bv_command bv_status_command = {
    .name = "status",
    .takes = "DIR",
    .summary = "how far a sweep is, slice by slice\n"
               "Reads only files: from any shell, or any machine that sees the "
               "folder.",
    .example = "brimvolt status night",
    .least = 1,
    .most = 1,
    .options = options_of_status,
    .size = sizeof(status_options),
    .defaults = set_defaults,
    .run = run};
