/* SPDX-License-Identifier: MIT */
/* The table of near designs. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "run/ends.h"
#include "run/near.h"

/* Columns behind `row`, then one an objective. */
static const bv_column heads[] = {
    {.name = BV_NEAR_PREFIX "limit",
     .unit = "",
     .meaning = "the limit that is missed; all others are met",
     .is_text = true},
    {.name = BV_NEAR_PREFIX "allowed",
     .unit = "",
     .meaning = "what the study allows",
     .is_text = true},
    {.name = BV_NEAR_PREFIX "needed",
     .unit = "",
     .meaning = "what it would have to allow",
     .is_text = true},
    {.name = BV_NEAR_PREFIX "excess",
     .unit = "%",
     .meaning = "how far the limit is missed, as a part of it (of its scale "
                "where the study gives one)"},
    {.name = BV_NEAR_PREFIX "gain",
     .unit = "%",
     .meaning = "how far every objective of each row of the front would have "
                "to be better before one is as good, as a part of the front's "
                "extent"}};

enum { LIMIT, ALLOWED, NEEDED, EXCESS, GAIN, HEADS };

typedef struct writer {
  const bv_study *study;
  const bv_objective *objectives;
  const bv_near_point *points;
  const bv_candidate *rows;
  bv_limit_end ends[BV_LIMITS_MOST];
  bv_front *near;
  bool failed; /* memory ran out */
} writer;

static char *copy_text(writer *w, const char *text) {
  char *copy = text ? strdup(text) : NULL;
  w->failed = w->failed || !copy;
  return copy;
}

static void name_column(writer *w, size_t column, const bv_column *head) {
  bv_column *c = &w->near->column[1 + column];
  c->name = copy_text(w, head->name);
  c->unit = copy_text(w, head->unit);
  c->meaning = copy_text(w, head->meaning);
  c->is_text = head->is_text;
}

static void name_columns(writer *w, size_t objectives) {
  for (size_t i = 0; i < HEADS; i++)
    name_column(w, i, &heads[i]);
  for (size_t j = 0; j < objectives; j++) {
    const char *objective = w->objectives[j].name;
    char name[256], meaning[256];
    snprintf(name, sizeof name, BV_NEAR_PREFIX "gain_%s", objective);
    snprintf(meaning, sizeof meaning,
             "by how much %s is better than in any row of the front that is no "
             "worse in the other objectives; empty: there is no such row",
             objective);
    name_column(w, HEADS + j,
                &(bv_column){.name = name, .unit = "%", .meaning = meaning});
  }
}

/* Four digits, rounded so that the bound lets the value pass. */
static double bound_for(double value, bool is_max) {
  if (value == 0 || !isfinite(value))
    return value;
  double step = pow(10, floor(log10(fabs(value))) - 3);
  double steps = value / step;
  return step * (is_max ? ceil(steps - 1e-9) : floor(steps + 1e-9));
}

static char *end_text(writer *w, const bv_limit_end *end, const char *unit) {
  bv_buffer text = {0};
  bv_ends_print(end, unit, &text);
  char *copy = copy_text(w, text.failed ? NULL : text.text);
  bv_buffer_free(&text);
  return copy;
}

static void fill_limit(writer *w, size_t i, bv_value *cells) {
  bv_limit_end end = w->ends[w->points[i].limit];
  const bv_result *result = bv_told_find(w->rows[i].told, end.name);
  bv_ends_resolve(&end, w->rows[i].told);
  const char *unit = result && result->unit ? result->unit : "";
  cells[LIMIT].text = copy_text(w, end.name);
  cells[ALLOWED].text = end_text(w, &end, unit);
  end.bound = result ? bound_for(result->number, end.is_max) : (double) NAN;
  cells[NEEDED].text = end_text(w, &end, unit);
}

/* An objective's best is as the search sees it; so is what it is of. */
static void fill_gains(const writer *w, size_t i, bv_value *cells) {
  const bv_near_point *point = &w->points[i];
  size_t objectives = bv_study_problem(w->study)->objectives;
  cells[EXCESS].number = 100 * point->excess;
  cells[GAIN].number = 100 * point->gain;
  for (size_t j = 0; j < objectives; j++) {
    double gain = 100 * (point->best[j] - w->rows[i].told->objectives[j]) /
                  fabs(point->best[j]);
    if (isfinite(gain))
      cells[HEADS + j].number = gain;
  }
}

static bv_status add_columns(writer *w, bv_error *error) {
  size_t objectives;
  w->objectives = bv_study_objectives(w->study, &objectives);
  bv_status status = bv_front_insert(w->near, 1, HEADS + objectives, error);
  if (status != BV_OK)
    return status;
  bv_ends_list(w->study, w->ends);
  name_columns(w, objectives);
  for (size_t i = 0; i < w->near->rows; i++) {
    bv_value *cells = bv_front_value(w->near, i, 1);
    fill_limit(w, i, cells);
    fill_gains(w, i, cells);
  }
  return w->failed ? bv_fail(error, BV_INTERNAL, "out of memory") : BV_OK;
}

bv_status bv_near_build(const bv_study *study, const bv_near_point *points,
                        const bv_candidate *rows, size_t count, bv_front *near,
                        bv_error *error) {
  *near = (bv_front){0};
  if (count == 0)
    return BV_OK;
  writer w = {.study = study, .points = points, .rows = rows, .near = near};
  bv_status status = bv_front_build(study, rows, count, near, error);
  if (status == BV_OK)
    status = add_columns(&w, error);
  if (status != BV_OK)
    bv_front_free(near);
  return status;
}
