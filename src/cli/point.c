/* SPDX-License-Identifier: MIT */
/* brimvolt point: one point, every result; or a row of a front once more. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "cli/open.h"
#include "cli/out.h"
#include "run/ends.h"
#include "run/single.h"
#include "table/csvfile.h"
#include "view/row.h"

typedef struct point_options {
  const char *front, *row, *case_name;
  uint64_t seed;
  double point_seconds;
  int format;
} point_options;

/* None was given. */
#define NO_SEED UINT64_MAX

enum { FORMAT_TEXT, FORMAT_CSV };
static const char *const formats[] = {"text", "csv", NULL};

#define AT(member) offsetof(point_options, member)
static const bv_option options_of_point[] = {
    {"format", "text|csv", "how results are written (text)", BV_OPTION_WORD,
     AT(format), 0, 0, formats},
    {"front", "FRONT.csv",
     "take the point from a row of this front and compare", BV_OPTION_TEXT,
     AT(front), 0, 0, NULL},
    {"case", "NAME",
     "evaluate for this case of a study that has cases (the front's, else the "
     "first)",
     BV_OPTION_TEXT, AT(case_name), 0, 0, NULL},
    {"seed", "N", "key of the script's random numbers (the front's, else 1)",
     BV_OPTION_WHOLE, AT(seed), 0, 9007199254740992.0, NULL},
    {"row", "ID", "the row of the front", BV_OPTION_TEXT, AT(row), 0, 0, NULL},
    {"point-time", "SECONDS", "time the evaluation may take (10)",
     BV_OPTION_NUMBER, AT(point_seconds), 1e-3, 1e6, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  *(point_options *) options =
      (point_options){.seed = NO_SEED, .point_seconds = 10};
}

static uint64_t seed_of(const point_options *options, const bv_front *front) {
  return options->seed == NO_SEED ? bv_open_seed_of(front) : options->seed;
}

/* The value of a column as the file writes it. */
static const char *value_text(const bv_front *front, size_t row, size_t column,
                              char *number) {
  const bv_value *value = &front->values[row * front->columns + column];
  if (front->column[column].is_text)
    return value->text ? value->text : "";
  return bv_format_number(number, value->number);
}

/* Blanks up to where meanings stand. */
static int gap_after(size_t length) {
  enum { PLACE = 60 };
  return length < PLACE ? PLACE - (int) length : 0;
}

static void print_line(const bv_column *column, const char *value, int format,
                       bv_buffer *text) {
  if (format == FORMAT_TEXT) {
    size_t begun = text->length;
    bv_buffer_print(text, "%-34s %s%s%s", column->name, value,
                    *column->unit ? " " : "", column->unit);
    if (*column->meaning)
      bv_buffer_print(text, "%*s  %s", gap_after(text->length - begun), "",
                      column->meaning);
    bv_buffer_print(text, "\n");
    return;
  }
  bv_csv_append(text, column->name, 1);
  bv_csv_append(text, value, 0);
  bv_csv_append(text, column->unit, 0);
  bv_buffer_append(text, "\n", 1);
}

static bv_status print_results(const bv_front *front, int format,
                               bv_error *error) {
  bv_buffer text = {0};
  if (format == FORMAT_CSV)
    bv_buffer_print(&text, "name,value,unit\n");
  for (size_t i = 0; i < front->columns; i++) {
    char number[BV_NUMBER_SIZE];
    if (front->column[i].role != BV_ROLE_ID)
      print_line(&front->column[i], value_text(front, 0, i, number), format,
                 &text);
  }
  bv_status status = bv_out_write(&text, error);
  bv_buffer_free(&text);
  return status;
}

/* Tells on standard error which limits the point breaks, as the search judges
 * them: with its tolerance, and those that the script computes too. */
static void print_breaches(const bv_study *study, const bv_told *told,
                           const bv_front *front) {
  bv_limit_end ends[BV_LIMITS_MOST];
  size_t count = bv_ends_list(study, ends);
  const bv_row row = {front, 0};
  for (size_t i = 0; i < count; i++) {
    const char *name = ends[i].name, *unit = bv_row_unit(&row, name);
    bv_buffer allowed = {0};
    bv_ends_resolve(&ends[i], told);
    bv_ends_print(&ends[i], unit, &allowed);
    if (told->limits[i] > BV_LIMIT_TOLERANCE && !allowed.failed)
      fprintf(stderr, "limit not met: %s %.6g%s%s, allowed %s\n", name,
              bv_row_number(&row, name), *unit ? " " : "", unit, allowed.text);
    bv_buffer_free(&allowed);
  }
}

/* A point that isn't a number shows what it has, `reason` among it. */
static bv_status judge(const bv_told *told, bv_error *error) {
  if (told->outcome == BV_OUTCOME_EVALUATED)
    return BV_OK;
  bool impossible = told->outcome == BV_OUTCOME_NOT_A_NUMBER;
  return bv_fail(error, impossible ? BV_NO_DESIGN : BV_BAD_DATA, "%s",
                 *told->message ? told->message
                                : "an objective or limit was not finite");
}

/* Evaluates x and prints its results; *front gets their table. */
static bv_status tell(bv_study *study, const double *x,
                      const point_options *options, bv_front *front,
                      bv_error *error) {
  bv_told told;
  bv_status status =
      bv_single_tell(study, x, options->point_seconds, &told, front, error);
  if (status != BV_OK)
    return status;
  if (told.record.count > 0)
    status = print_results(front, options->format, error);
  if (status == BV_OK)
    status = judge(&told, error);
  if (status == BV_OK)
    print_breaches(study, &told, front);
  bv_told_free(&told);
  return status;
}

static bool same(const bv_value *a, const bv_value *b, bool is_text) {
  if (is_text)
    return strcmp(a->text ? a->text : "", b->text ? b->text : "") == 0;
  return a->number == b->number ? signbit(a->number) == signbit(b->number)
                                : isnan(a->number) && isnan(b->number);
}

/* A column that says where a row is from: `row`, and what merging adds unless
 * the script has results of these names. */
static bool is_label(const bv_column *column, bool is_result) {
  if (column->role == BV_ROLE_ID || strcmp(column->name, "row") == 0)
    return true;
  return !is_result && (strcmp(column->name, "case") == 0 ||
                        strcmp(column->name, "case_row") == 0);
}

/* What a row has beside its re-evaluation. */
typedef struct difference {
  size_t values, differ;
  double most; /* relative to the larger one; infinite for texts and NANs */
  const char *name; /* where it is that */
} difference;

/* Differences that are told one by one. */
enum { TOLD_MOST = 10 };

static double far(const bv_value *a, const bv_value *b, bool is_text) {
  double most = is_text ? 0 : fmax(fabs(a->number), fabs(b->number));
  return isfinite(most) && most > 0 ? fabs(a->number - b->number) / most
                                    : HUGE_VAL;
}

/* Compares a row with its re-evaluation; tells the first differences. */
static difference compare(const bv_front *file, size_t row,
                          const bv_front *now) {
  difference found = {.name = ""};
  for (size_t i = 0; i < file->columns; i++) {
    const bv_column *column = &file->column[i];
    char before[BV_NUMBER_SIZE], after[BV_NUMBER_SIZE];
    size_t other = bv_front_find(now, column->name);
    if (is_label(column, other < now->columns) || bv_front_tells_near(file, i))
      continue;
    found.values++;
    bool there = other < now->columns;
    const bv_value *mine = &file->values[row * file->columns + i];
    const bv_value *theirs = there ? &now->values[other] : NULL;
    there = there && now->column[other].is_text == column->is_text;
    if (there && same(mine, theirs, column->is_text))
      continue;
    double apart = there ? far(mine, theirs, column->is_text) : HUGE_VAL;
    if (apart > found.most) {
      found.most = apart;
      found.name = column->name;
    }
    if (found.differ++ < TOLD_MOST)
      fprintf(stderr, "%s: the file has %s, the script gives %s\n",
              column->name, value_text(file, row, i, before),
              theirs ? value_text(now, 0, other, after) : "no such result");
  }
  if (found.differ > TOLD_MOST)
    fprintf(stderr, "… and %zu more\n", found.differ - TOLD_MOST);
  return found;
}

/* Tells whether all values of the row are given again. */
static bv_status judge_row(const bv_study *study, const bv_front *file,
                           size_t row, const bv_front *now,
                           const point_options *options, bv_error *error) {
  difference found = compare(file, row, now);
  const char *digest = file->origin.digest;
  char most[64] = "";
  if (found.most < HUGE_VAL)
    snprintf(most, sizeof most, ", by %.2g %%", 100 * found.most);
  if (found.differ > 0)
    return bv_fail(error, BV_BAD_DATA,
                   "row %s of %s is not what the script gives: %zu of %zu "
                   "values differ, %s most%s%s",
                   options->row, options->front, found.differ, found.values,
                   found.name, most,
                   digest && strcmp(digest, bv_study_digest(study)) != 0
                       ? "; the script or a file it reads is another than then"
                       : "");
  fprintf(stderr, "row %s of %s: all %zu values agree to the last bit\n",
          options->row, options->front, found.values);
  return BV_OK;
}

static bv_status evaluate_row(bv_study *study, const bv_front *file, size_t row,
                              const point_options *options, bv_error *error) {
  double x[BV_SPACE_MOST];
  bv_front now = {0};
  const char *name =
      options->case_name ? options->case_name : bv_open_case_of(file, row);
  bv_status status = bv_open_case(study, name, false, error);
  if (status == BV_OK)
    status = bv_open_point(study, file, options->front, row, x, error);
  if (status == BV_OK)
    status = tell(study, x, options, &now, error);
  if (status == BV_OK)
    status = judge_row(study, file, row, &now, options, error);
  bv_front_free(&now);
  return status;
}

static bv_status compare_row(const bv_words *words,
                             const point_options *options, bv_error *error) {
  bv_front file;
  bv_study *study = NULL;
  bv_row row;
  bv_status status = bv_front_read(options->front, &file, error);
  if (status != BV_OK)
    return status;
  status = bv_row_find(&file, options->row, &row, error);
  if (status == BV_OK)
    status = bv_open_study(words, seed_of(options, &file),
                           options->point_seconds, &study, error);
  if (status == BV_OK)
    status = evaluate_row(study, &file, row.index, options, error);
  bv_study_close(study);
  bv_front_free(&file);
  return status;
}

static bv_status tell_words(const bv_words *words, const point_options *options,
                            bv_error *error) {
  double x[BV_SPACE_MOST];
  bv_front front = {0};
  bv_study *study;
  bv_status status = bv_open_study(words, seed_of(options, NULL),
                                   options->point_seconds, &study, error);
  if (status == BV_OK)
    status = bv_open_case(study, options->case_name, false, error);
  if (status == BV_OK)
    status = bv_study_parse_point(study, words->words + 1, words->count - 1, x,
                                  error);
  if (status == BV_OK)
    status = tell(study, x, options, &front, error);
  bv_front_free(&front);
  bv_study_close(study);
  return status;
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const point_options *options = given;
  if (!options->front != !options->row || (options->front && words->count > 1))
    return bv_fail(error, BV_USAGE,
                   "point: expected --front and --row together, without "
                   "NAME=VALUE");
  return options->front ? compare_row(words, options, error)
                        : tell_words(words, options, error);
}

const bv_command bv_point_command = {
    .name = "point",
    .takes = "STUDY.lua NAME=VALUE…",
    .summary =
        "evaluate one point and show every result with its unit and meaning\n"
        "Variables left out take their middle. With --front and --row, "
        "a row of a front is\nevaluated once more and compared with the "
        "file, bit by bit.",
    .example = "brimvolt point scripts/01-harbour-beacon.lua turns_ratio=15 "
               "core=ETD34/17/11",
    .least = 1,
    .most = 65,
    .options = options_of_point,
    .size = sizeof(point_options),
    .defaults = set_defaults,
    .run = run};
