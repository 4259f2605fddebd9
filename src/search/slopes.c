/* SPDX-License-Identifier: MIT */
#include "search/slopes.h"

#include <string.h>

static size_t rows_of(const bv_problem *p) {
  return p->objectives + p->limits;
}

size_t bv_slopes_size_flat(const bv_problem *p) {
  return 1 + p->space.count + rows_of(p) + rows_of(p) * p->space.count;
}

size_t bv_slopes_size(const bv_problem *p) {
  return bv_slopes_size_flat(p) + rows_of(p) * p->space.count;
}

bv_slopes bv_slopes_view(const bv_problem *p, double *numbers) {
  size_t n = p->space.count, rows = rows_of(p);
  double *at = numbers + 1, *values = at + n, *matrix = values + rows;
  return (bv_slopes){.variables = n,
                     .rows = rows,
                     .known = numbers,
                     .at = at,
                     .values = values,
                     .matrix = matrix,
                     .curvatures = matrix + rows * n};
}

double bv_slopes_value(const bv_slopes *s, size_t row, const double *unit) {
  const double *slope = s->matrix + row * s->variables;
  const double *curvature = s->curvatures + row * s->variables;
  double value = s->values[row];
  for (size_t i = 0; i < s->variables; i++) {
    double step = unit[i] - s->at[i];
    value += (slope[i] + curvature[i] * step / 2) * step;
  }
  return value;
}

double bv_slopes_along(const bv_slopes *s, size_t row, size_t variable,
                       const double *unit) {
  size_t place = row * s->variables + variable;
  return s->matrix[place] +
         s->curvatures[place] * (unit[variable] - s->at[variable]);
}

void bv_slopes_explain(const bv_slopes *s, const double *unit,
                       const double *values) {
  double square = 0;
  for (size_t i = 0; i < s->variables; i++)
    square += (unit[i] - s->at[i]) * (unit[i] - s->at[i]);
  for (size_t r = 0; r < s->rows && square > 0; r++) {
    double miss = values[r] - bv_slopes_value(s, r, unit);
    for (size_t i = 0; i < s->variables; i++)
      s->matrix[r * s->variables + i] += miss / square * (unit[i] - s->at[i]);
  }
}

void bv_slopes_move(const bv_slopes *s, const double *unit,
                    const double *values) {
  for (size_t r = 0; r < s->rows; r++)
    for (size_t i = 0; i < s->variables; i++)
      s->matrix[r * s->variables + i] = bv_slopes_along(s, r, i, unit);
  memcpy(s->at, unit, s->variables * sizeof *unit);
  memcpy(s->values, values, s->rows * sizeof *values);
}
