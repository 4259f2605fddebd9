/* SPDX-License-Identifier: MIT */
/* brimvolt explain: what a name of the models means. */
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/out.h"
#include "script/explain.h"

typedef struct explain_options {
  bool list;
} explain_options;

static const bv_option options_of_explain[] = {
    {"list", NULL, "every name, one a line", BV_OPTION_FLAG,
     offsetof(explain_options, list), 0, 0, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};

static void set_defaults(void *options) {
  *(explain_options *) options = (explain_options){0};
}

/* The names seen so far, each between line ends, so that one that several
 * tables share is listed once. */
static void list_name(const char *name, void *context) {
  bv_buffer *names = context;
  char line[128];
  snprintf(line, sizeof line, "\n%s\n", name);
  if (!names->text || !strstr(names->text, line))
    bv_buffer_print(names, "%s%s\n", names->text ? "" : "\n", name);
}

static bv_status list_all(bv_error *error) {
  bv_buffer names = {0}, text = {0};
  bv_explain_each(list_name, &names);
  if (names.text)
    bv_buffer_append(&text, names.text + 1, names.length - 1);
  bv_status status = bv_out_write(&text, error);
  bv_buffer_free(&names);
  bv_buffer_free(&text);
  return status;
}

static bv_status explain_one(const char *name, bv_buffer *text,
                             bv_error *error) {
  if (bv_explain(name, text))
    return BV_OK;
  const char *nearest = bv_explain_nearest(name);
  return bv_fail(error, BV_USAGE, "unknown name '%s'%s%s%s", name,
                 nearest ? ", did you mean '" : "", nearest ? nearest : "",
                 nearest ? "'?" : "");
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const explain_options *options = given;
  if (options->list)
    return list_all(error);
  if (words->count == 0)
    return bv_fail(error, BV_USAGE, "expected a name, found none");
  bv_buffer text = {0};
  bv_status status = BV_OK;
  for (size_t i = 0; status == BV_OK && i < words->count; i++)
    status = explain_one(words->words[i], &text, error);
  if (status == BV_OK)
    status = bv_out_write(&text, error);
  bv_buffer_free(&text);
  return status;
}

const bv_command bv_explain_command = {
    .name = "explain",
    .takes = "NAME…",
    .summary = "tell what a result, an input, a function or a formula means",
    .example = "brimvolt explain charge_time flux_margin",
    .least = 0,
    .most = 64,
    .options = options_of_explain,
    .size = sizeof(explain_options),
    .defaults = set_defaults,
    .run = run};
