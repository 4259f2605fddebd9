/* SPDX-License-Identifier: MIT */
#include "view/pick.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "view/samples.h"

enum { MOST = 8, CANDIDATES = 1000 };

/* Scaled objectives: values[row * count + objective], smaller is better; NAN in
 * the first objective of a row that is passed over. */
typedef struct scaled {
  size_t rows, count;
  double *values;
} scaled;

static size_t find_objectives(const bv_front *front, size_t *columns) {
  size_t count = 0;
  for (size_t c = 0; c < front->columns && count < MOST; c++)
    if (front->column[c].role == BV_ROLE_MINIMISE ||
        front->column[c].role == BV_ROLE_MAXIMISE)
      columns[count++] = c;
  return count;
}

static bool is_kept(const double *objectives, size_t count) {
  for (size_t i = 0; i < count; i++)
    if (!isfinite(objectives[i]))
      return false;
  return count > 0;
}

/* Scales one objective of the kept rows to 0 … 1; all alike become 0. */
static void scale(scaled *points, size_t objective) {
  double lo = HUGE_VAL, hi = -HUGE_VAL;
  for (size_t r = 0; r < points->rows; r++) {
    double value = points->values[r * points->count + objective];
    if (!isnan(points->values[r * points->count])) {
      lo = fmin(lo, value);
      hi = fmax(hi, value);
    }
  }
  for (size_t r = 0; r < points->rows; r++) {
    double *value = &points->values[r * points->count + objective];
    *value = hi > lo ? (*value - lo) / (hi - lo) : isnan(*value) ? *value : 0;
  }
}

static bool make_scaled(const bv_front *front, bv_picked picked,
                        scaled *points) {
  size_t columns[MOST];
  size_t count = find_objectives(front, columns);
  *points = (scaled){.rows = picked.count, .count = count};
  points->values = calloc(picked.count * count + 1, sizeof *points->values);
  if (!points->values)
    return false;
  for (size_t r = 0; r < picked.count; r++) {
    double *row = &points->values[r * count];
    for (size_t i = 0; i < count; i++) {
      double value = bv_front_value(front, picked.rows[r], columns[i])->number;
      bool maximise = front->column[columns[i]].role == BV_ROLE_MAXIMISE;
      row[i] = maximise ? -value : value;
    }
    if (count > 0 && !is_kept(row, count))
      row[0] = (double) NAN;
  }
  for (size_t i = count; i-- > 0;)
    scale(points, i);
  return true;
}

/* The row that is best in an objective, by the sum of all where several are. */
static const double *best_row(const scaled *points, size_t objective) {
  const double *best = NULL;
  double least = HUGE_VAL, least_sum = HUGE_VAL;
  for (size_t r = 0; r < points->rows; r++) {
    const double *row = &points->values[r * points->count];
    double sum = 0;
    for (size_t i = 0; i < points->count; i++)
      sum += row[i];
    if (isnan(row[0]) || row[objective] > least ||
        (row[objective] == least && sum >= least_sum))
      continue;
    best = row;
    least = row[objective];
    least_sum = sum;
  }
  return best;
}

/* Solves matrix x = right by elimination with column pivots; false where the
 * matrix is singular. */
static bool solve(double matrix[MOST][MOST], double *right, size_t count) {
  for (size_t i = 0; i < count; i++) {
    size_t pivot = i;
    for (size_t k = i + 1; k < count; k++)
      if (fabs(matrix[k][i]) > fabs(matrix[pivot][i]))
        pivot = k;
    if (fabs(matrix[pivot][i]) < 1e-9)
      return false;
    for (size_t j = 0; j < count; j++) {
      double kept = matrix[i][j];
      matrix[i][j] = matrix[pivot][j];
      matrix[pivot][j] = kept;
    }
    double kept = right[i];
    right[i] = right[pivot];
    right[pivot] = kept;
    for (size_t k = 0; k < count; k++) {
      double factor = k == i ? 0 : matrix[k][i] / matrix[i][i];
      for (size_t j = i; j < count; j++)
        matrix[k][j] -= factor * matrix[i][j];
      right[k] -= factor * right[i];
    }
  }
  for (size_t i = 0; i < count; i++)
    right[i] /= matrix[i][i];
  return true;
}

/* The plane normal . f = 1 through the best rows of each objective. */
static void find_plane(const scaled *points, double *normal) {
  double matrix[MOST][MOST];
  bool good = true;
  for (size_t i = 0; i < points->count && good; i++) {
    const double *row = best_row(points, i);
    good = row != NULL;
    if (good)
      memcpy(matrix[i], row, points->count * sizeof *row);
    normal[i] = 1;
  }
  good = good && solve(matrix, normal, points->count);
  for (size_t i = 0; i < points->count; i++)
    good = good && normal[i] > -1e-9;
  for (size_t i = 0; i < points->count && !good; i++)
    normal[i] = 1;
}

static void find_heights(const scaled *points, double *heights) {
  double normal[MOST], length = 0;
  find_plane(points, normal);
  for (size_t i = 0; i < points->count; i++)
    length += normal[i] * normal[i];
  for (size_t r = 0; r < points->rows; r++) {
    const double *row = &points->values[r * points->count];
    double along = 0;
    for (size_t i = 0; i < points->count; i++)
      along += normal[i] * row[i];
    heights[r] = points->count < 2 ? (double) NAN : (1 - along) / sqrt(length);
  }
}

static bv_status exhausted(bv_error *error) {
  return bv_fail(error, BV_INTERNAL, "out of memory");
}

bv_status bv_pick_heights(const bv_front *front, bv_picked picked,
                          double *heights, bv_error *error) {
  scaled points;
  if (!make_scaled(front, picked, &points))
    return exhausted(error);
  find_heights(&points, heights);
  free(points.values);
  return BV_OK;
}

/* A row and what it is sorted by. */
typedef struct ranked {
  size_t row;
  double rank; /* smaller comes first, NAN last */
} ranked;

static int by_rank(const void *a, const void *b) {
  const ranked *x = a, *y = b;
  if (isnan(x->rank) != isnan(y->rank))
    return isnan(x->rank) ? 1 : -1;
  if (x->rank < y->rank || x->rank > y->rank)
    return x->rank < y->rank ? -1 : 1;
  return (x->row > y->row) - (x->row < y->row);
}

static double distance(const scaled *points, size_t a, size_t b) {
  double sum = 0;
  for (size_t i = 0; i < points->count; i++) {
    double step = points->values[a * points->count + i] -
                  points->values[b * points->count + i];
    sum += step * step;
  }
  return sqrt(sum);
}

/* True where a knee is within 0.2 of the row at a place of the order, or a row
 * that comes earlier (is higher) within 0.1. */
static bool is_topped(const scaled *points, const ranked *order, size_t place,
                      const bool *is_knee) {
  for (size_t k = 0; k < place; k++) {
    double reach = is_knee[order[k].row] ? 0.2 : 0.1;
    if (distance(points, order[k].row, order[place].row) < reach)
      return true;
  }
  return false;
}

/* order is by falling height: rank is minus the height. */
static void mark_knees(const scaled *points, const ranked *order,
                       bool *is_knee) {
  size_t knees = 0;
  for (size_t i = 0; i < points->rows && i < CANDIDATES; i++) {
    if (!(order[i].rank < 0 && order[i].rank <= order[0].rank / 2) ||
        knees == BV_KNEES_MOST)
      return;
    if (is_topped(points, order, i, is_knee))
      continue;
    is_knee[order[i].row] = true;
    knees++;
  }
}

bv_status bv_pick_knees(const bv_front *front, bv_picked picked, bool *is_knee,
                        bv_error *error) {
  scaled points;
  if (!make_scaled(front, picked, &points))
    return exhausted(error);
  double *heights = calloc(picked.count + 1, sizeof *heights);
  ranked *order = calloc(picked.count + 1, sizeof *order);
  if (heights && order) {
    find_heights(&points, heights);
    for (size_t r = 0; r < picked.count; r++) {
      order[r] = (ranked){r, -heights[r]};
      is_knee[r] = false;
    }
    qsort(order, picked.count, sizeof *order, by_rank);
    mark_knees(&points, order, is_knee);
  }
  bool failed = !heights || !order;
  free(points.values);
  free(heights);
  free(order);
  return failed ? exhausted(error) : BV_OK;
}

/* The place in the order of the row that adds most, or points->rows where none
 * adds anything. A row's gain can only fall as others are chosen, so what was
 * counted earlier is a bound that tells which rows need no new count. */
static size_t next_row(const scaled *points, const bv_samples *left,
                       const ranked *order, size_t *gains) {
  size_t most = 0, best = points->rows, likely = 0;
  for (size_t i = 0; i < points->rows; i++)
    if (gains[i] > gains[likely])
      likely = i;
  for (size_t k = 0; k <= points->rows; k++) {
    size_t i = k == 0 ? likely : k - 1;
    if (i == points->rows || gains[i] <= most)
      continue;
    const double *row = &points->values[order[i].row * points->count];
    gains[i] = bv_samples_covered(left, row);
    if (gains[i] > most) {
      most = gains[i];
      best = i;
    }
  }
  return best;
}

/* Chooses by gain as long as there is one, then in the order given. */
static void choose(const scaled *points, bv_samples *left, ranked *order,
                   size_t *gains, bv_picked picked, size_t best,
                   size_t *chosen) {
  size_t count = 0;
  while (count < best) {
    size_t next = next_row(points, left, order, gains);
    if (next == points->rows)
      break;
    bv_samples_drop(left, &points->values[order[next].row * points->count]);
    chosen[count++] = picked.rows[order[next].row];
    gains[next] = 0;
    order[next].row = points->rows;
  }
  for (size_t i = 0; i < points->rows && count < best; i++)
    if (order[i].row != points->rows)
      chosen[count++] = picked.rows[order[i].row];
}

static void order_by_sum(const scaled *points, const bv_samples *left,
                         ranked *order, size_t *gains) {
  for (size_t r = 0; r < points->rows; r++) {
    double sum = 0;
    for (size_t i = 0; i < points->count; i++)
      sum += points->values[r * points->count + i];
    order[r] = (ranked){r, sum};
  }
  qsort(order, points->rows, sizeof *order, by_rank);
  for (size_t r = 0; r < points->rows; r++)
    gains[r] = isnan(order[r].rank)
                   ? 0
                   : bv_samples_covered(
                         left, &points->values[order[r].row * points->count]);
}

bv_status bv_pick_best(const bv_front *front, bv_picked picked, size_t best,
                       size_t *chosen, bv_error *error) {
  scaled points;
  bv_samples left = {0};
  if (!make_scaled(front, picked, &points))
    return exhausted(error);
  ranked *order = calloc(picked.count + 1, sizeof *order);
  size_t *gains = calloc(picked.count + 1, sizeof *gains);
  bool good = order && gains && bv_samples_make(points.count, &left);
  if (good) {
    order_by_sum(&points, &left, order, gains);
    choose(&points, &left, order, gains, picked,
           best < picked.count ? best : picked.count, chosen);
  }
  free(points.values);
  bv_samples_free(&left);
  free(order);
  free(gains);
  return good ? BV_OK : exhausted(error);
}
