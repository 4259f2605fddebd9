/* SPDX-License-Identifier: MIT */
/* brimvolt table: a front on the terminal. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "cli/kept.h"
#include "cli/list.h"
#include "cli/out.h"
#include "run/deadline.h"
#include "script/filter.h"
#include "table/front.h"
#include "view/table.h"

typedef struct table_options {
  const char *sort, *keep, *columns;
  uint64_t best, width;
  int format;
  bool descending, near;
} table_options;

#define AT(member) offsetof(table_options, member)
static const bv_option options_of_table[] = {
    {"sort", "NAME", "sort by a column", BV_OPTION_TEXT, AT(sort), 0, 0, NULL},
    {"descending", NULL, "largest first", BV_OPTION_FLAG, AT(descending), 0, 0,
     NULL},
    {"keep", "'EXPRESSION'",
     "show rows where it holds, in the file's units: 'charge_time < 1.5'",
     BV_OPTION_TEXT, AT(keep), 0, 0, NULL},
    {"columns", "NAME,NAME…", "show these columns", BV_OPTION_TEXT, AT(columns),
     0, 0, NULL},
    {"best", "N", "show N rows that cover most of the front (Guerreiro 2016)",
     BV_OPTION_WHOLE, AT(best), 1, 1e9, NULL},
    {"near", NULL, "show instead what a small change of one limit would admit",
     BV_OPTION_FLAG, AT(near), 0, 0, NULL},
    {"format", "text|csv|json|markdown", "how the table is written (text)",
     BV_OPTION_WORD, AT(format), 0, 0, bv_table_format_words},
    {"width", "N", "letters a line (the terminal's, else 120); 0: no limit",
     BV_OPTION_WHOLE, AT(width), 0, 1e6, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  *(table_options *) options = (table_options){.width = bv_out_width()};
}

/* Rows that a filter may spend a deadline on. */
enum { ROWS_WATCHED = 1000 };

/* The filter, the names it keeps referring to, and the cells of one row, used
 * again for each. */
typedef struct sieve {
  bv_filter *filter;
  const char **names;
  bv_filter_value *values;
  size_t seen, kept; /* rows */
} sieve;

/* Steps are counted in an expression, but for pattern searches. */
static void watch_rows(void) {
  bv_deadline_end();
  bv_deadline_begin("brimvolt: --keep: stopped: it takes too long (an endless "
                    "pattern search?)\n");
}

static bv_status keep_row(void *context, const bv_front *front, size_t row,
                          bool *kept, bv_error *error) {
  sieve *s = context;
  if (row % ROWS_WATCHED == 0)
    watch_rows();
  for (size_t i = 0; i < front->columns; i++) {
    const bv_value *value = bv_front_value(front, row, i);
    bool is_text = front->column[i].is_text;
    s->values[i] = (bv_filter_value){
        .number = is_text ? (double) NAN : value->number,
        .text = is_text ? (value->text ? value->text : "") : NULL};
  }
  bv_status status = bv_filter_match(s->filter, s->values, kept, error);
  s->seen++;
  s->kept += status == BV_OK && *kept;
  return status;
}

/* A filter without effect is mostly one in the units shown. */
static void tell_idle(const bv_front *front, const char *expression,
                      const sieve *s) {
  bv_buffer text = {0};
  if (s->seen == 0 || (s->kept > 0 && s->kept < s->seen))
    return;
  bv_kept_explain(front, expression, s->kept, &text);
  if (text.text && !text.failed)
    fputs(text.text, stderr);
  bv_buffer_free(&text);
}

static bv_status check_best(const bv_front *front, const table_options *options,
                            bv_error *error) {
  for (size_t c = 0; c < front->columns; c++)
    if (front->column[c].role == BV_ROLE_MINIMISE ||
        front->column[c].role == BV_ROLE_MAXIMISE)
      return BV_OK;
  if (options->best == 0)
    return BV_OK;
  return bv_fail(error, BV_USAGE,
                 "--best: expected a front with objectives, found none: "
                 "FRONT.schema.json beside it names them");
}

static bv_status open_sieve(const bv_front *front, const char *expression,
                            sieve *s, bv_error *error) {
  s->names = calloc(front->columns + 1, sizeof *s->names);
  s->values = calloc(front->columns + 1, sizeof *s->values);
  if (!s->names || !s->values)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  for (size_t i = 0; i < front->columns; i++)
    s->names[i] = front->column[i].name;
  return bv_filter_open(expression, s->names, front->columns, &s->filter,
                        error);
}

static bv_status show(const bv_front *front, const table_options *options,
                      bv_buffer *text, bv_error *error) {
  sieve s = {0};
  bv_list columns = {0};
  bv_status status = check_best(front, options, error);
  if (status == BV_OK && options->keep)
    status = open_sieve(front, options->keep, &s, error);
  if (status == BV_OK && options->columns)
    status = bv_list_split(options->columns, &columns, error);
  bv_table_options view = {.format = (bv_table_format) options->format,
                           .columns = options->columns ? columns.words : NULL,
                           .column_count = columns.count,
                           .sort = options->sort,
                           .descending = options->descending,
                           .best = (size_t) options->best,
                           .keep = options->keep ? keep_row : NULL,
                           .keep_context = &s,
                           .width = (size_t) options->width};
  if (status == BV_OK)
    status = bv_view_table(front, &view, text, error);
  if (s.filter)
    bv_deadline_end();
  if (status == BV_OK && s.filter)
    tell_idle(front, options->keep, &s);
  bv_filter_close(s.filter);
  free(s.names);
  free(s.values);
  bv_list_free(&columns);
  return status;
}

/* Reads a front, or the designs near it. */
static bv_status read_rows(const char *path, bool near, bv_front *rows,
                           bv_error *error) {
  bv_front front;
  if (near && strcmp(path, "-") == 0)
    return bv_fail(error, BV_USAGE, "--near: expected the file of a front");
  bv_status status = bv_front_read(path, &front, error);
  if (status != BV_OK || !near) {
    *rows = front;
    return status;
  }
  status = bv_front_read_near(&front, path, rows, error);
  bv_front_free(&front);
  if (status == BV_NO_INPUT)
    bv_fail(error, status,
            "%s: no designs near it are kept: none was found, or it is no "
            "front of one search",
            path);
  return status;
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const table_options *options = given;
  bv_front front = {0};
  bv_buffer text = {0};
  bv_status status = read_rows(words->words[0], options->near, &front, error);
  if (status != BV_OK)
    return status;
  status = show(&front, options, &text, error);
  if (status == BV_OK)
    status = bv_out_write(&text, error);
  bv_buffer_free(&text);
  bv_front_free(&front);
  return status;
}

const bv_command bv_table_command = {
    .name = "table",
    .takes = "FRONT.csv",
    .summary = "show a front as a table, its knees (Das 1999) marked *\n"
               "With --near, designs that miss one limit alone, by at most 5 % "
               "of it: what it would\nhave to allow, and by how much they are "
               "better in one objective than all rows of the\nfront that are "
               "no worse in the others.",
    .example = "brimvolt table front.csv --best 12 --keep 'charge_time < 1.5'",
    .least = 1,
    .most = 1,
    .options = options_of_table,
    .size = sizeof(table_options),
    .defaults = set_defaults,
    .run = run};
