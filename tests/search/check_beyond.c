/* SPDX-License-Identifier: MIT */
/* What is held just beyond limits, against the definition worked out over all
 * points that were offered. */
#include "search/beyond.h"

#include "base/random.h"
#include "check_main.h"

enum { OFFERED = 400, OBJECTIVES = 2, LIMITS = 2 };

static const bv_variable one[] = {{.name = "x", .lo = 0, .hi = OFFERED}};
static const bv_problem problem = {
    .space = {one, 1}, .objectives = OBJECTIVES, .limits = LIMITS};
static const bv_yardstick yardstick = {.range = {1, 1}, .reference = {2, 2}};

typedef struct offer {
  double f[OBJECTIVES], limits[LIMITS];
} offer;

/* A front of the line f1 + f2 = 1 in steps of 1/16. */
static void make_front(bv_archive *front) {
  bv_archive_init(front, &problem);
  for (int i = 0; i <= 16; i++) {
    double x = 0, f[] = {i / 16., 1 - i / 16.}, met[LIMITS] = {0};
    bv_archive_offer(front, &x, f, met, &yardstick);
  }
}

static bool covers(const double *a, const double *b) {
  return a[0] <= b[0] && a[1] <= b[1];
}

static bool front_covers(const double *f) {
  for (int i = 0; i <= 16; i++)
    if (covers((double[]){i / 16., 1 - i / 16.}, f))
      return true;
  return false;
}

/* True where the i-th offer misses that limit alone and within reach. */
static bool misses(const offer *o, size_t limit) {
  double own = o->limits[limit], other = o->limits[1 - limit];
  return own > BV_LIMIT_TOLERANCE && own <= BV_BEYOND_REACH &&
         other <= BV_LIMIT_TOLERANCE;
}

static bool belongs(const offer *all, size_t i, size_t limit) {
  if (!misses(&all[i], limit) || front_covers(all[i].f))
    return false;
  for (size_t k = 0; k < OFFERED; k++)
    if (k != i && misses(&all[k], limit) && covers(all[k].f, all[i].f) &&
        all[k].limits[limit] <= all[i].limits[limit])
      return false;
  return true;
}

/* Limits are met, missed within reach and missed by far, a third each. */
static double draw_limit(bv_random *random) {
  double kind = 3 * bv_random_unit(random), size = bv_random_unit(random);
  return kind < 1 ? -size : kind < 2 ? size * BV_BEYOND_REACH : size;
}

START_TEST(holds_what_the_definition_says) {
  static offer all[OFFERED];
  bv_archive front;
  bv_beyond beyond;
  make_front(&front);
  bv_beyond_init(&beyond, &problem);
  bv_random random = bv_random_keyed(3, 0, 0);
  for (size_t i = 0; i < OFFERED; i++) {
    double x = (double) i;
    for (size_t j = 0; j < 2; j++) {
      all[i].f[j] = 0.8 * bv_random_unit(&random);
      all[i].limits[j] = draw_limit(&random);
    }
    bv_beyond_offer(&beyond, &x, all[i].f, all[i].limits, &front, &yardstick);
  }
  size_t expected = 0, held = 0;
  for (size_t limit = 0; limit < LIMITS; limit++) {
    for (size_t i = 0; i < OFFERED; i++)
      expected += belongs(all, i, limit);
    for (size_t i = 0; i < beyond.count[limit]; i++) {
      size_t from = (size_t) *bv_beyond_x(&beyond, limit, i);
      ck_assert_msg(belongs(all, from, limit), "offer %zu", from);
      ck_assert(bv_beyond_excess(&beyond, limit, i) == all[from].limits[limit]);
      ck_assert(bv_beyond_objectives(&beyond, limit, i)[1] == all[from].f[1]);
    }
    held += beyond.count[limit];
  }
  ck_assert_uint_gt(expected, 10);
  ck_assert_uint_eq(held, expected);
  bv_beyond_free(&beyond);
  bv_archive_free(&front);
}
END_TEST

/* Points on a curve, none covering another: room is made by thinning, and the
 * ends, the knee and the least excess stay. */
START_TEST(keeps_to_its_room) {
  bv_archive front;
  bv_beyond beyond;
  double limits[LIMITS] = {0};
  size_t most = 0;
  bv_archive_init(&front, &problem);
  bv_beyond_init(&beyond, &problem);
  for (size_t i = 0; i < 5000; i++) {
    double x = (double) i, at = (double) ((i * 37) % 5000) / 5000;
    double f[] = {at, (1 - at) * (1 - at)};
    limits[1] = 1e-3 + 1e-3 * at;
    bv_beyond_offer(&beyond, &x, f, limits, &front, &yardstick);
    most = beyond.count[1] > most ? beyond.count[1] : most;
  }
  ck_assert_uint_eq(most, BV_BEYOND_ROOM);
  ck_assert_uint_ge(beyond.count[1], BV_BEYOND_KEPT);
  double first = 1, second = 1;
  for (size_t i = 0; i < beyond.count[1]; i++) {
    first = fmin(first, bv_beyond_objectives(&beyond, 1, i)[0]);
    second = fmin(second, bv_beyond_objectives(&beyond, 1, i)[1]);
  }
  ck_assert(first == 0);
  ck_assert(second < 1e-6);
  bv_beyond_free(&beyond);
  bv_archive_free(&front);
}
END_TEST

/* Where the front has caught up, points it covers make room. */
START_TEST(room_is_made_of_what_the_front_covers) {
  bv_archive front;
  bv_beyond beyond;
  double limits[LIMITS] = {0.01}, x = 0, met[LIMITS] = {0};
  bv_archive_init(&front, &problem);
  bv_beyond_init(&beyond, &problem);
  for (size_t i = 0; i < BV_BEYOND_ROOM; i++) {
    double at = (double) i / BV_BEYOND_ROOM;
    double f[] = {at, 1 - at};
    bv_beyond_offer(&beyond, &x, f, limits, &front, &yardstick);
  }
  double best[] = {0.5, 0};
  bv_archive_offer(&front, &x, best, met, &yardstick);
  double f[] = {0.25, 0.25};
  bv_beyond_offer(&beyond, &x, f, limits, &front, &yardstick);
  for (size_t i = 0; i < beyond.count[0]; i++)
    ck_assert(!covers(best, bv_beyond_objectives(&beyond, 0, i)));
  ck_assert(beyond.count[0] > 0);
  bv_beyond_free(&beyond);
  bv_archive_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {holds_what_the_definition_says,
                                keeps_to_its_room,
                                room_is_made_of_what_the_front_covers, NULL};
  return check_main("search/beyond", tests);
}
