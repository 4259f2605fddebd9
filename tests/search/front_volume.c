/* SPDX-License-Identifier: MIT */
#include "search/front_volume.h"

#include <stdlib.h>
#include <string.h>

#include "search/hypervolume.h"

double *front_points(const bv_search *search, const bv_problem *problem,
                     size_t *count) {
  size_t m = problem->objectives;
  *count = bv_search_look(search).front;
  double *points = calloc(*count * m + 1, sizeof *points);
  for (size_t i = 0; i < *count; i++)
    memcpy(points + i * m, bv_search_front(search, i).objectives,
           m * sizeof *points);
  return points;
}

double front_volume(const bv_search *search, const test_problem *problem) {
  size_t count;
  double *points = front_points(search, &problem->problem, &count);
  double volume = bv_hypervolume(points, count, problem->problem.objectives,
                                 problem->reference);
  free(points);
  return volume;
}
