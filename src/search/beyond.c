/* SPDX-License-Identifier: MIT */
#include "search/beyond.h"

#include <stdlib.h>
#include <string.h>

#include "search/memory.h"
#include "search/thin.h"

/* Objectives and excess: what points are compared by. */
static size_t aims(const bv_beyond *b) {
  return b->problem->objectives + 1;
}

static size_t row_size(const bv_beyond *b) {
  return aims(b) + b->problem->space.count;
}

static double *row_at(const bv_beyond *b, size_t limit, size_t i) {
  return b->rows + (limit * BV_BEYOND_ROOM + i) * row_size(b);
}

void bv_beyond_init(bv_beyond *b, const bv_problem *problem) {
  *b = (bv_beyond){.problem = problem};
  b->count = bv_allocate(problem->limits + 1, sizeof *b->count);
  b->rows = bv_allocate(problem->limits * BV_BEYOND_ROOM + 1,
                        row_size(b) * sizeof *b->rows);
}

void bv_beyond_free(bv_beyond *b) {
  free(b->count);
  free(b->rows);
  *b = (bv_beyond){0};
}

const double *bv_beyond_objectives(const bv_beyond *b, size_t limit, size_t i) {
  return row_at(b, limit, i);
}

double bv_beyond_excess(const bv_beyond *b, size_t limit, size_t i) {
  return row_at(b, limit, i)[b->problem->objectives];
}

const double *bv_beyond_x(const bv_beyond *b, size_t limit, size_t i) {
  return row_at(b, limit, i) + aims(b);
}

/* The one limit that is missed; the number of limits where there are more. */
static size_t one_missed(const bv_problem *p, const double *limits) {
  size_t found = p->limits;
  for (size_t i = 0; i < p->limits; i++) {
    if (limits[i] <= BV_LIMIT_TOLERANCE)
      continue;
    if (found < p->limits)
      return p->limits;
    found = i;
  }
  return found;
}

/* True where a is nowhere worse than b. */
static bool covers(const double *a, const double *b, size_t count) {
  for (size_t j = 0; j < count; j++)
    if (a[j] > b[j])
      return false;
  return true;
}

/* Keeps the points that are told to stay, in their order. */
static void sift(bv_beyond *b, size_t limit, const bool *stays) {
  size_t kept = 0;
  for (size_t i = 0; i < b->count[limit]; i++) {
    if (stays[i] && kept < i)
      memcpy(row_at(b, limit, kept), row_at(b, limit, i),
             row_size(b) * sizeof(double));
    kept += stays[i];
  }
  b->count[limit] = kept;
}

static void thin(bv_beyond *b, size_t limit) {
  bool stays[BV_BEYOND_ROOM] = {false};
  size_t count = b->count[limit], width = aims(b);
  double *points = bv_allocate(count * width, sizeof *points);
  for (size_t i = 0; i < count; i++)
    memcpy(points + i * width, row_at(b, limit, i), width * sizeof *points);
  bv_thin_points(points, count, width, BV_BEYOND_KEPT, stays);
  sift(b, limit, stays);
  free(points);
}

static void make_room(bv_beyond *b, size_t limit, const bv_archive *front,
                      const bv_yardstick *yardstick) {
  bool stays[BV_BEYOND_ROOM] = {false};
  for (size_t i = 0; i < b->count[limit]; i++)
    stays[i] =
        bv_archive_lead(front, row_at(b, limit, i), yardstick->range) > 0;
  sift(b, limit, stays);
  if (b->count[limit] > BV_BEYOND_KEPT)
    thin(b, limit);
}

static void hold(bv_beyond *b, size_t limit, const double *row) {
  bool stays[BV_BEYOND_ROOM] = {false};
  for (size_t i = 0; i < b->count[limit]; i++)
    stays[i] = !covers(row, row_at(b, limit, i), aims(b));
  sift(b, limit, stays);
  memcpy(row_at(b, limit, b->count[limit]++), row, row_size(b) * sizeof *row);
}

static bool is_covered(const bv_beyond *b, size_t limit, const double *row) {
  for (size_t i = 0; i < b->count[limit]; i++)
    if (covers(row_at(b, limit, i), row, aims(b)))
      return true;
  return false;
}

void bv_beyond_offer(bv_beyond *b, const double *x, const double *objectives,
                     const double *limits, const bv_archive *front,
                     const bv_yardstick *yardstick) {
  const bv_problem *p = b->problem;
  size_t limit = one_missed(p, limits);
  double row[BV_OBJECTIVES_MOST + 1 + BV_SPACE_MOST];
  if (limit == p->limits || limits[limit] > BV_BEYOND_REACH)
    return;
  memcpy(row, objectives, p->objectives * sizeof *row);
  row[p->objectives] = limits[limit];
  memcpy(row + aims(b), x, p->space.count * sizeof *row);
  if (is_covered(b, limit, row) ||
      bv_archive_lead(front, objectives, yardstick->range) <= 0)
    return;
  if (b->count[limit] == BV_BEYOND_ROOM)
    make_room(b, limit, front, yardstick);
  hold(b, limit, row);
}
