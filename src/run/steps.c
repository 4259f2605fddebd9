/* SPDX-License-Identifier: MIT */
#include "run/steps.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "run/build.h"
#include "run/told.h"

static const double share = 0.05; /* of the range of a continuous variable */

static double stepped(const bv_variable *variable, double value, int way) {
  double unit = bv_variable_encode(variable, value);
  double step = bv_variable_is_discrete(variable)
                    ? 1 / (double) bv_variable_levels(variable)
                    : share;
  return bv_variable_decode(variable, unit + way * step);
}

/* An end of the range may be met but for rounding: no step. */
static bool moves(const bv_variable *variable, double from, double to) {
  return fabs(bv_variable_encode(variable, to) -
              bv_variable_encode(variable, from)) > 1e-9;
}

/* Fills points with the neighbours of x and returns how many. */
static size_t make_points(bv_space space, const double *x, double *points) {
  size_t count = 0;
  for (size_t i = 0; i < space.count; i++)
    for (int way = -1; way <= 1; way += 2) {
      double *point = points + count * space.count;
      memcpy(point, x, space.count * sizeof *x);
      point[i] = stepped(&space.variables[i], x[i], way);
      count += moves(&space.variables[i], x[i], point[i]);
    }
  return count;
}

bv_status bv_steps_tell(bv_study *study, const double *x, double point_seconds,
                        bv_front *front, bv_error *error) {
  bv_space space = bv_study_problem(study)->space;
  double *points = calloc(2 * space.count * space.count, sizeof *points);
  bv_candidate *rows = calloc(2 * space.count, sizeof *rows);
  bv_told *told = NULL;
  size_t count = 0;
  bv_status status;
  *front = (bv_front){0};
  if (points && rows) {
    count = make_points(space, x, points);
    status =
        bv_tell_in_new_pool(study, points, count, point_seconds, &told, error);
  } else {
    status = bv_fail(error, BV_INTERNAL, "out of memory");
  }
  if (told && rows) {
    for (size_t i = 0; i < count; i++)
      rows[i] = (bv_candidate){points + i * space.count, &told[i]};
    status = bv_front_build(study, rows, count, front, error);
  }
  bv_told_free_all(told, told ? count : 0);
  free(rows);
  free(points);
  return status;
}
