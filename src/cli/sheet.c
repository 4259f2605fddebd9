/* SPDX-License-Identifier: MIT */
/* brimvolt sheet: the design sheet of one row of a front. */
#include "view/sheet.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "cli/command.h"
#include "cli/open.h"
#include "cli/out.h"
#include "run/single.h"
#include "run/steps.h"

typedef struct sheet_options {
  const char *row, *output, *study;
  double point_seconds;
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
    {"study", "STUDY.lua",
     "evaluate what one step in each variable would change", BV_OPTION_TEXT,
     AT(study), 0, 0, NULL},
    {"point-time", "SECONDS", "time one evaluation of it may take (10)",
     BV_OPTION_NUMBER, AT(point_seconds), 1e-3, 1e6, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  *(sheet_options *) options =
      (sheet_options){.format = FORMAT_BY_NAME, .point_seconds = 10};
}

static bool wants_html(const sheet_options *options) {
  const char *end = options->output ? strrchr(options->output, '.') : NULL;
  if (options->format != FORMAT_BY_NAME)
    return options->format == FORMAT_HTML;
  return end && (strcasecmp(end, ".html") == 0 || strcasecmp(end, ".htm") == 0);
}

/* Tells where the study now gives other objectives than the row has. */
static bv_status compare_row(bv_study *study, const double *x,
                             const bv_row *row, const sheet_options *options,
                             bv_error *error) {
  bv_told told;
  bv_front now;
  bool same = true;
  bv_status status =
      bv_single_tell(study, x, options->point_seconds, &told, &now, error);
  if (status != BV_OK)
    return status;
  for (size_t i = 0; i < now.columns; i++) {
    bv_role role = now.column[i].role;
    if (role == BV_ROLE_MINIMISE || role == BV_ROLE_MAXIMISE)
      same = same && bv_front_value(&now, 0, i)->number ==
                         bv_row_number(row, now.column[i].name);
  }
  if (!same)
    fprintf(stderr,
            "%s gives other results for row %s than the front has: its steps "
            "may not fit\n",
            options->study, options->row);
  bv_told_free(&told);
  bv_front_free(&now);
  return BV_OK;
}

/* Steps around the row, evaluated by its study. */
static bv_status make_steps(const bv_row *row, const sheet_options *options,
                            const bv_words *words, bv_front *steps,
                            bv_error *error) {
  bv_words named = *words;
  bv_study *study;
  double x[BV_SPACE_MOST];
  named.words = (const char *[]){options->study};
  bv_status status = bv_open_study(&named, bv_open_seed_of(row->front),
                                   options->point_seconds, &study, error);
  if (status != BV_OK)
    return status;
  status = bv_open_case(study, bv_open_case_of(row->front, row->index), false,
                        error);
  if (status == BV_OK)
    status =
        bv_open_point(study, row->front, words->words[0], row->index, x, error);
  if (status == BV_OK)
    status = compare_row(study, x, row, options, error);
  if (status == BV_OK)
    status = bv_steps_tell(study, x, options->point_seconds, steps, error);
  bv_study_close(study);
  return status;
}

static bv_status print(const bv_row *row, const bv_front *steps,
                       const sheet_options *options, bv_error *error) {
  bv_buffer text = {0};
  bv_sheet_options how = {.html = wants_html(options), .steps = steps};
  bv_status status = bv_sheet_print(row, &how, &text, error);
  if (status == BV_OK)
    status = bv_out_put(options->output, &text, error);
  bv_buffer_free(&text);
  return status;
}

static bv_status print_row(const bv_front *front, const sheet_options *options,
                           const bv_words *words, bv_error *error) {
  bv_row row;
  bv_front steps = {0};
  bv_status status = bv_row_find(front, options->row, &row, error);
  if (status == BV_OK && options->study)
    status = make_steps(&row, options, words, &steps, error);
  if (status == BV_OK)
    status = print(&row, options->study ? &steps : NULL, options, error);
  bv_front_free(&steps);
  return status;
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const sheet_options *options = given;
  bv_front front;
  if (!options->row)
    return bv_fail(error, BV_USAGE, "sheet: expected --row ID");
  bv_status status = bv_out_spare(options->output, words->words[0], error);
  if (status == BV_OK && options->study)
    status = bv_out_spare(options->output, options->study, error);
  if (status == BV_OK)
    status = bv_front_read(words->words[0], &front, error);
  if (status != BV_OK)
    return status;
  status = print_row(&front, options, words, error);
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
