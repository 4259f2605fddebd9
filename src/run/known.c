/* SPDX-License-Identifier: MIT */
#include "run/known.h"

#include <math.h>
#include <sha2.h>
#include <stdlib.h>
#include <string.h>

#include "model/design.h"
#include "table/unit.h"

/* Where the variables stand */

static bv_status no_column(const bv_front *front, const char *path,
                           const char *name, bv_error *error) {
  bv_nearest nearest = bv_nearest_begin(name);
  for (size_t i = 0; i < front->columns; i++)
    bv_nearest_offer(&nearest, front->column[i].name);
  return bv_fail(error, BV_BAD_DATA,
                 "%s: expected a column for the variable %s, found none%s%s%s",
                 path, name, nearest.best ? "; did you mean " : "",
                 nearest.best ? nearest.best : "", nearest.best ? "?" : "");
}

/* The SI unit of a variable: known from designs, or what the written unit
 * belongs to; NULL where the written one is none. */
static const char *unit_of(const char *name, const char *written) {
  const bv_field *known = bv_field_find(bv_choice_fields, name);
  return known ? known->unit : bv_unit_si(written);
}

static bv_status find_factor(const bv_column *column, const char *path,
                             const char *name, double *factor,
                             bv_error *error) {
  bool has_unit = column->unit && *column->unit && !column->is_text;
  *factor = 1;
  /* A variable that bears its unit in its name is what the column says. */
  if (!has_unit || strcmp(column->name, name) != 0)
    return BV_OK;
  const char *unit = unit_of(name, column->unit);
  if (!unit)
    return BV_OK;
  *factor = bv_unit_factor(column->unit, unit);
  if (*factor > 0)
    return BV_OK;
  return bv_fail(error, BV_BAD_DATA,
                 "%s: column %s: expected %s%s, found the unit %s", path, name,
                 *unit ? "a unit of " : "no unit", unit, column->unit);
}

bv_status bv_known_places(const bv_study *study, const bv_front *front,
                          const char *path, bv_places *places,
                          bv_error *error) {
  bv_space space = bv_study_problem(study)->space;
  for (size_t i = 0; i < space.count; i++) {
    const char *name = space.variables[i].name;
    size_t at = bv_front_find(front, name);
    if (at == front->columns)
      return no_column(front, path, name, error);
    places->column[i] = at;
    if (find_factor(&front->column[at], path, name, &places->factor[i],
                    error) != BV_OK)
      return BV_BAD_DATA;
  }
  return BV_OK;
}

/* Rows */

/* A cell as a user would write it, in the SI unit. */
static const char *cell_text(const bv_front *front, size_t row, size_t column,
                             double factor, char *number) {
  const bv_value *value = bv_front_value(front, row, column);
  if (front->column[column].is_text)
    return value->text ? value->text : "";
  if (isnan(value->number))
    return "";
  return bv_format_number(number, bv_unit_scale(value->number, factor));
}

bv_status bv_known_point(const bv_study *study, const bv_front *front,
                         const char *path, const bv_places *places, size_t row,
                         double *x, bv_error *error) {
  size_t count = bv_study_problem(study)->space.count;
  for (size_t i = 0; i < count; i++) {
    char number[BV_NUMBER_SIZE];
    const char *text =
        cell_text(front, row, places->column[i], places->factor[i], number);
    if (bv_study_parse_value(study, i, text, &x[i], error) != BV_OK)
      return bv_fail_within(error, "%s: row %g", path, bv_front_id(front, row));
  }
  return BV_OK;
}

/* Starts */

/* Variables of an earlier study that this one doesn't vary. */
static void note_foreign(const bv_study *study, const bv_front *front,
                         const char *path, bv_seeds *seeds) {
  bv_space space = bv_study_problem(study)->space;
  for (size_t c = 0; c < front->columns; c++) {
    const bv_column *column = &front->column[c];
    size_t i = 0;
    while (i < space.count &&
           strcmp(space.variables[i].name, column->name) != 0)
      i++;
    if (column->role == BV_ROLE_VARIABLE && i == space.count)
      bv_buffer_print(&seeds->notes,
                      "%s: its variable %s is none of the study's and is left "
                      "out\n",
                      path, column->name);
  }
}

/* Gathers the rows that the space holds at x; *cause tells of the first that it
 * doesn't. */
static bv_status gather(const bv_study *study, const bv_front *front,
                        const char *path, double *x, bv_seeds *seeds,
                        bv_error *cause, bv_error *error) {
  size_t width = bv_study_problem(study)->space.count;
  bv_places places = {0};
  bv_error reason;
  bv_status status = bv_known_places(study, front, path, &places, error);
  for (size_t row = 0; row < front->rows && status == BV_OK; row++) {
    bv_status found = bv_known_point(study, front, path, &places, row,
                                     x + seeds->added * width, &reason);
    seeds->added += found == BV_OK;
    if (found == BV_BAD_DATA && seeds->outside++ == 0)
      *cause = reason;
    if (found == BV_USAGE)
      status = bv_fail(error, BV_BAD_DATA, "%s", reason.text);
  }
  return status;
}

static bv_status judge(const bv_front *front, const char *path, bv_seeds *seeds,
                       const bv_error *cause, bv_error *error) {
  if (front->rows == 0)
    return bv_fail(error, BV_BAD_DATA, "%s: expected designs, found no row",
                   path);
  if (seeds->added == 0)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: none of its %zu designs lies in the study's space: %s",
                   path, front->rows, cause->text);
  if (seeds->outside > 0)
    bv_buffer_print(&seeds->notes,
                    "%s: %zu of %zu designs left out, for the study's space "
                    "doesn't hold them; the first: %s\n",
                    path, seeds->outside, front->rows, cause->text);
  return BV_OK;
}

static bv_status add_front(bv_study *study, const bv_front *front,
                           const char *path, bv_seeds *seeds, bv_error *error) {
  size_t width = bv_study_problem(study)->space.count;
  bv_error cause = {0};
  double *x = calloc((front->rows + 1) * width, sizeof *x);
  if (!x)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  bv_status status = gather(study, front, path, x, seeds, &cause, error);
  if (status == BV_OK)
    status = judge(front, path, seeds, &cause, error);
  if (status == BV_OK)
    status = bv_study_add_starts(study, x, seeds->added, error);
  SHA256Data((const uint8_t *) x, seeds->added * width * sizeof *x,
             seeds->digest);
  note_foreign(study, front, path, seeds);
  free(x);
  return status;
}

bv_status bv_seeds_add(bv_study *study, const char *path, bv_seeds *seeds,
                       bv_error *error) {
  bv_front front;
  *seeds = (bv_seeds){0};
  bv_status status = bv_front_read(path, &front, error);
  if (status != BV_OK)
    return status;
  status = add_front(study, &front, path, seeds, error);
  bv_front_free(&front);
  return status;
}
