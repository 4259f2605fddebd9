/* SPDX-License-Identifier: MIT */
#include "view/plot.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "view/column.h"
#include "view/number.h"
#include "view/pick.h"
#include "view/svg.h"

enum { GROUPS = 3, SERIES = GROUPS + 2, DIGITS = 3 };

/* Numbers further apart than this are shown on a logarithmic axis. */
static const double log_from = 20;

/* A plot while it is made. */
typedef struct plot {
  const bv_front *front;
  size_t x, y, by; /* columns; by: front->columns for none */
  double *points;  /* x and y of a row, group after group */
  size_t *group;   /* of each row */
  bool *is_knee;
  size_t *rows; /* 0, 1, … */
  bv_buffer names[SERIES];
  size_t count; /* of groups */
} plot;

static bool is_objective(const bv_column *column) {
  return !column->is_text &&
         (column->role == BV_ROLE_MINIMISE || column->role == BV_ROLE_MAXIMISE);
}

/* The objective of a rank from 0, or front->columns. */
static size_t objective_of(const bv_front *front, size_t rank) {
  size_t i = 0;
  for (; i < front->columns; i++)
    if (is_objective(&front->column[i]) && rank-- == 0)
      break;
  return i;
}

static bv_status find_axis(const bv_front *front, const char *name, size_t rank,
                           size_t *column, bv_error *error) {
  bv_status status = BV_OK;
  *column = objective_of(front, rank);
  if (name)
    status = bv_column_find(front, name, column, error);
  else if (*column == front->columns)
    status = bv_fail(error, BV_USAGE,
                     "expected two columns: the front names fewer than two "
                     "objectives");
  if (status == BV_OK && front->column[*column].is_text)
    status = bv_fail(error, BV_USAGE, "%s holds texts, expected numbers",
                     front->column[*column].name);
  return status;
}

static bv_status find_columns(plot *p, const bv_plot_options *options,
                              bv_error *error) {
  bv_status status = find_axis(p->front, options->x, 0, &p->x, error);
  if (status == BV_OK)
    status = find_axis(p->front, options->y, 1, &p->y, error);
  bool given = options->x || options->y;
  p->by = given ? p->front->columns : objective_of(p->front, 2);
  if (status == BV_OK && options->by)
    status = bv_column_find(p->front, options->by, &p->by, error);
  return status;
}

static const bv_value *value(const plot *p, size_t row, size_t column) {
  return bv_front_value(p->front, row, column);
}

static const char *text_of(const plot *p, size_t row) {
  const char *text = value(p, row, p->by)->text;
  return text ? text : "";
}

static int compare_texts(const void *a, const void *b) {
  return strcmp(*(const char *const *) a, *(const char *const *) b);
}

/* A text and how many rows have it. */
typedef struct word {
  const char *text;
  size_t rows;
} word;

/* Takes a word in among the GROUPS most frequent. */
static void rank_word(word *most, word next) {
  for (size_t g = 0; g < GROUPS; g++)
    if (next.rows > most[g].rows) {
      word last = most[g];
      most[g] = next;
      next = last;
    }
}

static bool rank_words(const plot *p, word *most) {
  size_t rows = p->front->rows;
  const char **sorted = calloc(rows + 1, sizeof *sorted);
  for (size_t row = 0; sorted && row < rows; row++)
    sorted[row] = text_of(p, row);
  if (sorted)
    qsort(sorted, rows, sizeof *sorted, compare_texts);
  for (size_t i = 0, next; sorted && i < rows; i = next) {
    for (next = i + 1; next < rows && strcmp(sorted[next], sorted[i]) == 0;)
      next++;
    rank_word(most, (word){sorted[i], next - i});
  }
  free(sorted);
  return sorted != NULL;
}

/* Texts: those that most rows have are a group each. */
static bv_status group_texts(plot *p, bv_error *error) {
  word most[GROUPS] = {{"", 0}, {"", 0}, {"", 0}};
  size_t ranked = 0, others = p->front->rows;
  if (!rank_words(p, most))
    return bv_fail(error, BV_INTERNAL, "out of memory for the plot");
  for (; ranked < GROUPS && most[ranked].rows > 0; ranked++) {
    bv_buffer_print(&p->names[ranked], "%s", most[ranked].text);
    others -= most[ranked].rows;
  }
  for (size_t row = 0; row < p->front->rows; row++)
    while (p->group[row] < ranked &&
           strcmp(text_of(p, row), most[p->group[row]].text) != 0)
      p->group[row]++;
  p->count = ranked + (others > 0);
  if (others > 0)
    bv_buffer_print(&p->names[ranked], "other");
  return BV_OK;
}

static int compare_numbers(const void *a, const void *b) {
  double x = *(const double *) a, y = *(const double *) b;
  return x < y ? -1 : x > y ? 1 : 0;
}

static void name_bound(plot *p, size_t g, double bound) {
  const bv_column *column = &p->front->column[p->by];
  char number[BV_NUMBER_SIZE];
  bv_shown_unit unit =
      bv_number_unit(bound, column->unit ? column->unit : "", DIGITS);
  bv_buffer_print(&p->names[g], "%s%s%s%s", g == 0 ? column->name : "",
                  g == 0 ? " up to " : "up to ",
                  bv_number_text(number, bound, unit, DIGITS),
                  *unit.text ? " " : "");
  bv_number_typeset_unit(&p->names[g], unit.text);
}

/* Numbers: groups of as many rows, equal numbers together. */
static void group_numbers(plot *p) {
  size_t rows = p->front->rows, known = 0;
  double *sorted = p->points; /* not used yet */
  for (size_t row = 0; row < rows; row++)
    if (!isnan(value(p, row, p->by)->number))
      sorted[known++] = value(p, row, p->by)->number;
  qsort(sorted, known, sizeof *sorted, compare_numbers);
  double bounds[GROUPS] = {0};
  for (size_t g = 0; g < GROUPS && known > 0; g++) {
    double bound =
        sorted[(g + 1) * known / GROUPS - ((g + 1) * known >= GROUPS)];
    if (p->count > 0 && bound <= bounds[p->count - 1])
      continue;
    name_bound(p, p->count, bound);
    bounds[p->count++] = bound;
  }
  for (size_t row = 0; row < rows; row++) {
    double number = value(p, row, p->by)->number;
    while (p->group[row] + 1 < p->count && !(number <= bounds[p->group[row]]))
      p->group[row]++;
  }
}

static bv_status group_rows(plot *p, bv_error *error) {
  bv_status status = BV_OK;
  if (p->by == p->front->columns) {
    bv_buffer_print(&p->names[0], "rows");
    p->count = 1;
  } else if (p->front->column[p->by].is_text) {
    status = group_texts(p, error);
  } else {
    group_numbers(p);
  }
  if (status == BV_OK)
    status = bv_pick_knees(p->front, (bv_picked){p->rows, p->front->rows},
                           p->is_knee, error);
  bv_buffer_print(&p->names[p->count], "knee");
  for (size_t row = 0; status == BV_OK && row < p->front->rows; row++)
    if (p->is_knee[row])
      p->group[row] = p->count;
  return status;
}

/* Puts the points of a group behind those before it; returns how many. */
static size_t put_points(const plot *p, size_t g, double *points) {
  size_t count = 0;
  for (size_t row = 0; row < p->front->rows; row++)
    if (p->group[row] == g) {
      points[2 * count] = value(p, row, p->x)->number;
      points[2 * count++ + 1] = value(p, row, p->y)->number;
    }
  return count;
}

/* The least and the largest finite number of a column; NAN where none is. */
static void range(const plot *p, size_t column, double *lo, double *hi) {
  *lo = *hi = (double) NAN;
  for (size_t row = 0; row < p->front->rows; row++)
    if (isfinite(value(p, row, column)->number)) {
      *lo = fmin(*lo, value(p, row, column)->number);
      *hi = fmax(*hi, value(p, row, column)->number);
    }
}

static bv_chart_axis axis_of(const plot *p, size_t column) {
  const bv_column *c = &p->front->column[column];
  double lo, hi;
  range(p, column, &lo, &hi);
  return (bv_chart_axis){.label = c->name,
                         .si = c->unit ? c->unit : "",
                         .log = lo > 0 && hi / lo > log_from};
}

static void describe_axis(const plot *p, size_t column, bv_buffer *text) {
  const bv_column *c = &p->front->column[column];
  double lo, hi;
  range(p, column, &lo, &hi);
  bv_buffer_print(text, ", %s from ", c->name);
  bv_number_append(text, lo, c->unit ? c->unit : "", DIGITS);
  bv_buffer_print(text, " to ");
  bv_number_append(text, hi, c->unit ? c->unit : "", DIGITS);
}

/* "60 rows, a from … to …, b from … to …. Knees: rows 7, 9." */
static void describe(const plot *p, bv_buffer *text) {
  size_t knees = 0;
  bv_buffer_print(text, "%zu rows", p->front->rows);
  describe_axis(p, p->x, text);
  describe_axis(p, p->y, text);
  for (size_t row = 0; row < p->front->rows; row++)
    if (p->is_knee[row])
      bv_buffer_print(text, "%s%.15g", knees++ ? ", " : ". Knees: rows ",
                      bv_front_id(p->front, row));
  bv_buffer_print(text, ".");
}

/* A knee is a diamond, whatever the rows are grouped by. */
static size_t look_of(const plot *p, size_t group) {
  enum { DIAMOND = 4, CROSS };
  return group == p->count ? DIAMOND : group == GROUPS ? CROSS : group + 1;
}

static void draw(const plot *p, bv_buffer *out) {
  bv_series series[SERIES];
  double *points = p->points;
  size_t drawn = 0;
  for (size_t g = 0; g <= p->count; g++) {
    size_t count = put_points(p, g, points);
    if (g == p->count && count == 0)
      break;
    const char *name = p->names[g].text ? p->names[g].text : "";
    series[drawn++] =
        (bv_series){name, points, points + 1, count, true, 2, look_of(p, g)};
    points += 2 * count;
  }
  bv_buffer description = {0};
  describe(p, &description);
  const char *title = p->front->origin.title;
  bv_panel panel = {axis_of(p, p->y), series, drawn};
  bv_chart chart = {.id = "front",
                    .title = title && *title ? title : "Front",
                    .description = description.text ? description.text : "",
                    .x = axis_of(p, p->x),
                    .panels = &panel,
                    .count = 1,
                    .width = 760,
                    .panel_height = 420};
  bv_svg_chart(out, &chart, true);
  bv_buffer_free(&description);
}

static bool make_room(plot *p) {
  size_t rows = p->front->rows;
  p->points = calloc(2 * rows + 1, sizeof *p->points);
  p->group = calloc(rows + 1, sizeof *p->group);
  p->is_knee = calloc(rows + 1, sizeof *p->is_knee);
  p->rows = calloc(rows + 1, sizeof *p->rows);
  for (size_t i = 0; p->rows && i < rows; i++)
    p->rows[i] = i;
  return p->points && p->group && p->is_knee && p->rows;
}

static void free_plot(plot *p) {
  for (size_t i = 0; i < SERIES; i++)
    bv_buffer_free(&p->names[i]);
  free(p->points);
  free(p->group);
  free(p->is_knee);
  free(p->rows);
}

bv_status bv_plot_draw(const bv_front *front, const bv_plot_options *options,
                       bv_buffer *out, bv_error *error) {
  plot p = {.front = front};
  bv_status status = find_columns(&p, options, error);
  if (status == BV_OK && !make_room(&p))
    status = bv_fail(error, BV_INTERNAL, "out of memory for the plot");
  if (status == BV_OK)
    status = group_rows(&p, error);
  if (status == BV_OK)
    draw(&p, out);
  if (status == BV_OK && out->failed)
    status = bv_fail(error, BV_INTERNAL, "out of memory for the plot");
  free_plot(&p);
  return status;
}
