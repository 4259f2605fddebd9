/* SPDX-License-Identifier: MIT */
/* Published values as files of tests/published/data: reading them, finding the
 * numbers in their inputs, comparing within the tolerance of the row. */
#ifndef BV_TESTS_PUBLISHED_H
#define BV_TESTS_PUBLISHED_H

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "check_main.h"
#include "table/csvfile.h"

/* A file of tests/published/data, free with bv_csv_free. */
static inline bv_csv published_read(const char *name) {
  const char *root = getenv("ROOT");
  char path[1024];
  bv_csv csv;
  bv_error error;
  snprintf(path, sizeof path, "%s/tests/published/data/%s", root ? root : ".",
           name);
  bv_status status = bv_csv_read(path, &csv, &error);
  ck_assert_msg(status == BV_OK, "%s", status == BV_OK ? "" : error.text);
  csv.path = name;
  return csv;
}

/* The cell of a row in the column called name. */
static inline const char *published_text(const bv_csv *csv, size_t row,
                                         const char *name) {
  for (size_t i = 0; i < csv->columns; i++)
    if (strcmp(bv_csv_cell(csv, 0, i), name) == 0)
      return bv_csv_cell(csv, row, i);
  ck_abort_msg("no column %s", name);
  return NULL;
}

/* The number in it; NAN where the cell is empty. */
static inline double published_number(const bv_csv *csv, size_t row,
                                      const char *name) {
  const char *text = published_text(csv, row, name);
  char *end;
  double value = strtod(text, &end);
  if (*text == '\0')
    return (double) NAN;
  ck_assert_msg(end != text, "row %zu, %s: no number in '%s'", row, name, text);
  return value;
}

/* The first row whose column has this text; 0 where there is none. */
static inline size_t published_find(const bv_csv *csv, const char *column,
                                    const char *text) {
  for (size_t row = 1; row < csv->rows; row++)
    if (strcmp(published_text(csv, row, column), text) == 0)
      return row;
  return 0;
}

/* One row of checks.csv; texts belong to the file. */
typedef struct published_check {
  const char *id, *quantity, *inputs, *unit, *tolerance, *source;
  double expected;
} published_check;

static inline published_check published_check_at(const bv_csv *csv,
                                                 size_t row) {
  return (published_check){published_text(csv, row, "id"),
                           published_text(csv, row, "quantity"),
                           published_text(csv, row, "inputs"),
                           published_text(csv, row, "unit"),
                           published_text(csv, row, "tolerance"),
                           published_text(csv, row, "source"),
                           published_number(csv, row, "expected")};
}

static inline bool published_starts(const char *text, const char *prefix) {
  return strncmp(text, prefix, strlen(prefix)) == 0;
}

/* The text after the whole word `word` (blanks and one '=' skipped), or NULL.
 */
static inline const char *published_after(const char *text, const char *word) {
  size_t length = strlen(word);
  for (const char *at = text; (at = strstr(at, word)) != NULL; at++) {
    bool starts = at == text || !isalnum((unsigned char) at[-1]);
    if (!starts || isalpha((unsigned char) at[length]))
      continue;
    at += length;
    at += strspn(at, " ");
    if (*at == '=')
      at++;
    return at + strspn(at, " (");
  }
  return NULL;
}

/* The number after a word of a row's inputs, or the fallback; fails where that
 * is NAN and there is no such number. */
static inline double published_input_or(const published_check *check,
                                        const char *word, double fallback) {
  const char *at = published_after(check->inputs, word);
  char *end = NULL;
  double value = at ? strtod(at, &end) : fallback;
  if (at && end == at)
    value = fallback;
  ck_assert_msg(!isnan(value), "%s: no number after '%s' in '%s'", check->id,
                word, check->inputs);
  return value;
}

static inline double published_input(const published_check *check,
                                     const char *word) {
  return published_input_or(check, word, (double) NAN);
}

/* Allowed difference in the row's unit: "2%" of the expected value, a plain
 * number in its unit, "exact" to rounding. */
static inline double published_allowed(const published_check *check) {
  char *end;
  double value = strtod(check->tolerance, &end);
  if (strcmp(check->tolerance, "exact") == 0)
    return 1e-12 * fabs(check->expected);
  ck_assert_msg(end != check->tolerance, "%s: tolerance '%s'", check->id,
                check->tolerance);
  return *end == '%' ? value / 100 * fabs(check->expected) : value;
}

/* Asserts a result, in the row's unit, against the row. */
static inline void published_compare(const published_check *check,
                                     double result) {
  ck_assert_msg(fabs(result - check->expected) <= published_allowed(check),
                "%s %s (%s): expected %.9g %s within %s, found %.9g; source: "
                "%s",
                check->id, check->quantity, check->inputs, check->expected,
                check->unit, check->tolerance, result, check->source);
}

/* A kind of row: those whose quantity starts with this text. The function gives
 * our result in the row's unit; NULL says that no function of ours answers the
 * row, `why` says why. */
typedef struct published_kind {
  const char *quantity;
  double (*result)(const published_check *check);
  const char *why;
} published_kind;

static inline const published_kind *
published_kind_of(const published_check *check, const published_kind *kinds,
                  size_t count) {
  for (size_t i = 0; i < count; i++)
    if (published_starts(check->quantity, kinds[i].quantity))
      return &kinds[i];
  return NULL;
}

/* Compares every row of an area ("4" for "4 ac resistance"). Fails on an open
 * row without a kind, and where fewer than `least` rows were compared. */
static inline void published_run(const char *area, const published_kind *kinds,
                                 size_t count, size_t least) {
  bv_csv csv = published_read("checks.csv");
  size_t compared = 0, length = strlen(area);
  for (size_t row = 1; row < csv.rows; row++) {
    const char *name = published_text(&csv, row, "area");
    if (strncmp(name, area, length) != 0 || name[length] != ' ')
      continue;
    published_check check = published_check_at(&csv, row);
    const published_kind *kind = published_kind_of(&check, kinds, count);
    bool open = strcmp(published_text(&csv, row, "set"), "open") == 0;
    ck_assert_msg(kind != NULL || !open, "%s: no function for '%s'", check.id,
                  check.quantity);
    if (kind == NULL || kind->result == NULL)
      continue;
    published_compare(&check, kind->result(&check));
    compared++;
  }
  bv_csv_free(&csv);
  ck_assert_msg(compared >= least, "only %zu rows of area %s", compared, area);
}

#endif
