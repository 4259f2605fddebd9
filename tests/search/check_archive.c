/* SPDX-License-Identifier: MIT */
/* The archive against the definition: a point stays where no other offered one
 * is at least as good in every objective. */
#include "search/archive.h"

#include <string.h>

#include "base/random.h"
#include "check_main.h"
#include "search/hypervolume.h"

enum { OFFERED = 1500, MOST = BV_OBJECTIVES_MOST };

static const bv_variable one[] = {{.name = "x", .lo = 0, .hi = 1}};

static bool covers(const double *a, const double *b, size_t m) {
  for (size_t j = 0; j < m; j++)
    if (a[j] > b[j])
      return false;
  return true;
}

/* Points near a sphere, the later ones nearer, some of them repeated. */
static void draw(bv_random *random, size_t m, size_t i, double *f) {
  double square = 0, size = 1 + 0.3 * bv_random_unit(random) *
                                    (double) (OFFERED - i) / OFFERED;
  for (size_t j = 0; j < m; j++) {
    f[j] = bv_random_unit(random) + 1e-9;
    square += f[j] * f[j];
  }
  for (size_t j = 0; j < m; j++)
    f[j] = round(1000 * f[j] / sqrt(square) * size) / 1000;
}

static void compare_with_definition(size_t m) {
  static double all[OFFERED][MOST];
  bv_problem problem = {.space = {one, 1}, .objectives = m};
  bv_yardstick yardstick = {0};
  for (size_t j = 0; j < m; j++) {
    yardstick.range[j] = 1;
    yardstick.reference[j] = 2;
  }
  bv_archive archive;
  bv_archive_init(&archive, &problem);
  bv_random random = bv_random_keyed(7, m, 0);
  double total = 0;
  for (size_t i = 0; i < OFFERED; i++) {
    double x = (double) i;
    draw(&random, m, i, all[i]);
    bool useless = false;
    for (size_t k = 0; k < i && !useless; k++)
      useless = covers(all[k], all[i], m);
    double gain = bv_archive_offer(&archive, &x, all[i], NULL, &yardstick);
    ck_assert_msg((gain < 0) == useless, "%zu objectives, point %zu: gain %g",
                  m, i, gain);
    total += gain > 0 ? gain : 0;
  }
  for (size_t i = 0; i < archive.count; i++) {
    size_t slot = archive.live[i];
    size_t from = (size_t) *bv_archive_x(&archive, slot);
    ck_assert(!memcmp(all[from], bv_archive_objectives(&archive, slot),
                      m * sizeof(double)));
    for (size_t k = 0; k < OFFERED; k++)
      ck_assert(!covers(all[k], all[from], m) ||
                !memcmp(all[k], all[from], m * sizeof(double)));
  }
  if (m <= 2) {
    double *points = bv_archive_copy_objectives(&archive);
    check_close(total,
                bv_hypervolume(points, archive.count, m, yardstick.reference),
                1e-12);
    free(points);
  }
  bv_archive_free(&archive);
}

START_TEST(keeps_what_no_other_covers) {
  for (size_t m = 1; m <= MOST; m++)
    compare_with_definition(m);
}
END_TEST

START_TEST(staircase_is_sorted_and_walks_both_ways) {
  bv_staircase staircase = {0};
  bv_random random = bv_random_keyed(3, 0, 0);
  size_t *removed = malloc(20000 * sizeof *removed), count;
  const double reference[2] = {2, 2};
  for (size_t i = 0; i < 20000; i++) {
    double t = bv_random_unit(&random);
    bv_staircase_insert(&staircase, (bv_stair){t, 1 - t, i}, reference, removed,
                        &count);
    ck_assert_uint_eq(count, 0);
  }
  ck_assert_uint_eq(staircase.count, 20000);
  size_t steps = 1;
  bv_stair_place place = bv_staircase_begin(&staircase), next;
  for (; next = bv_staircase_next(&staircase, place),
         bv_staircase_at(&staircase, next);
       place = next, steps++) {
    bv_stair_place back = bv_staircase_before(&staircase, next);
    ck_assert(back.block == place.block && back.index == place.index);
    ck_assert(bv_staircase_at(&staircase, place)->first <
              bv_staircase_at(&staircase, next)->first);
  }
  ck_assert_uint_eq(steps, 20000);
  /* One point that covers all of it. */
  bv_staircase_insert(&staircase, (bv_stair){0, 0, 1}, reference, removed,
                      &count);
  ck_assert_uint_eq(count, 20000);
  ck_assert_uint_eq(staircase.count, 1);
  bv_staircase_free(&staircase);
  free(removed);
}
END_TEST

/* The least over all points of the largest lead over one. */
static double lead_by_scan(double points[][MOST], size_t count, size_t m,
                           const double *p, const double *scale) {
  double least = HUGE_VAL;
  for (size_t i = 0; i < count; i++) {
    double lead = -HUGE_VAL;
    for (size_t j = 0; j < m; j++)
      lead = fmax(lead, (points[i][j] - p[j]) / scale[j]);
    least = fmin(least, lead);
  }
  return least;
}

/* Points that are ahead of one or of many at once. */
static void compare_leads(size_t m) {
  enum { POINTS = 200 };
  static double points[POINTS][MOST];
  const double scale[MOST] = {1, 2, 0.5, 1};
  bv_problem problem = {.space = {one, 1}, .objectives = m};
  bv_yardstick yardstick = {.range = {1, 1, 1, 1}, .reference = {2, 2, 2, 2}};
  bv_archive archive;
  bv_archive_init(&archive, &problem);
  bv_random random = bv_random_keyed(5, m, 0);
  for (size_t i = 0; i < POINTS; i++) {
    draw(&random, m, OFFERED, points[i]);
    bv_archive_offer(&archive, &(double){0}, points[i], NULL, &yardstick);
  }
  for (int k = 0; k < 200; k++) {
    double p[MOST], ahead = 0.5 * bv_random_unit(&random);
    draw(&random, m, OFFERED, p);
    for (size_t j = 0; j < m; j++)
      p[j] -= ahead;
    double expected = lead_by_scan(points, POINTS, m, p, scale);
    double lead = bv_archive_lead(&archive, p, scale);
    if (expected > 0)
      check_close(lead, expected, 1e-12);
    else
      ck_assert(lead <= 0);
  }
  bv_archive_free(&archive);
}

START_TEST(lead_is_the_smallest_shift_that_covers) {
  for (size_t m = 1; m <= 4; m++)
    compare_leads(m);
}
END_TEST

/* A shift smaller than what is told leaves some point ahead, a larger one none.
 */
START_TEST(behind_is_the_shift_that_frees) {
  enum { M = 3 };
  const bv_variable x = {.name = "x", .lo = 0, .hi = 1};
  bv_problem problem = {.space = {&x, 1}, .objectives = M};
  bv_yardstick yardstick = {.range = {1, 1, 1}, .reference = {2, 2, 2}};
  const double scale[M] = {1, 2, 0.5}, anywhere = 0;
  const bool moves[M] = {true, false, true};
  bv_archive archive;
  bv_archive_init(&archive, &problem);
  bv_random random = bv_random_keyed(7, 0, 0);
  double f[M];
  for (size_t i = 0; i < 300; i++) {
    draw(&random, M, OFFERED, f);
    bv_archive_offer(&archive, &anywhere, f, NULL, &yardstick);
  }
  size_t some = 0;
  for (int k = 0; k < 200; k++) {
    draw(&random, M, 0, f);
    double behind = bv_archive_behind(&archive, f, moves, scale);
    some += behind > 0;
    for (int side = -1; side <= 1; side += 2) {
      double shifted[M];
      for (size_t j = 0; j < M; j++)
        shifted[j] = f[j] - (moves[j] ? (behind + side * 1e-9) * scale[j] : 0);
      bool ahead = false;
      for (size_t i = 0; i < archive.count; i++)
        ahead =
            ahead || covers(bv_archive_objectives(&archive, archive.live[i]),
                            shifted, M);
      ck_assert(ahead == (side < 0 && behind > 0));
    }
  }
  ck_assert_uint_gt(some, 50);
  bv_archive_free(&archive);
}
END_TEST

/* The largest of the shifts that bring the moving objectives beside a point
 * that is nowhere worse. */
static double behind_all(const bv_archive *a, size_t m, const double *f,
                         const bool *moves, const double *scale) {
  double most = 0;
  for (size_t i = 0; i < a->count; i++) {
    const double *known = bv_archive_objectives(a, a->live[i]);
    double least = HUGE_VAL;
    for (size_t j = 0; j < m; j++)
      if (moves[j])
        least = fmin(least, (f[j] - known[j]) / scale[j]);
    most = covers(known, f, m) ? fmax(most, least) : most;
  }
  return most;
}

static void compare_worst(const bv_archive *a, size_t m) {
  double worst[MOST], expected;
  bv_archive_worst(a, worst);
  for (size_t j = 0; j < m; j++) {
    expected = -HUGE_VAL;
    for (size_t i = 0; i < a->count; i++)
      expected = fmax(expected, bv_archive_objectives(a, a->live[i])[j]);
    ck_assert_double_eq(worst[j], expected);
  }
}

static void compare_behind_and_worst(size_t m) {
  const double scale[MOST] = {1, 2, 0.5, 1}, anywhere = 0;
  bv_problem problem = {.space = {one, 1}, .objectives = m};
  bv_yardstick yardstick = {.range = {1, 1, 1, 1}, .reference = {2, 2, 2, 2}};
  bv_archive archive;
  bv_archive_init(&archive, &problem);
  bv_random random = bv_random_keyed(11, m, 0);
  double f[MOST];
  size_t some = 0;
  for (size_t i = 0; i < OFFERED; i++) {
    draw(&random, m, i, f);
    bv_archive_offer(&archive, &anywhere, f, NULL, &yardstick);
    compare_worst(&archive, m);
    bool moves[MOST];
    for (size_t j = 0; j < m; j++)
      moves[j] = bv_random_below(&random, 3) > 0;
    draw(&random, m, 0, f);
    double expected = behind_all(&archive, m, f, moves, scale);
    some += expected > 0 && isfinite(expected);
    ck_assert_double_eq(bv_archive_behind(&archive, f, moves, scale), expected);
  }
  ck_assert_uint_gt(some, 50);
  bv_archive_free(&archive);
}

START_TEST(behind_and_worst_are_those_of_all_points) {
  for (size_t m = 1; m <= 4; m++)
    compare_behind_and_worst(m);
}
END_TEST

/* Three parts beside a number. */
static const bv_variable mixed[] = {
    {.name = "x", .lo = 0, .hi = OFFERED},
    {.name = "part", .scale = BV_SCALE_ORDERED, .lo = 0, .hi = 2}};
static const bv_problem of_parts = {.space = {mixed, 2}, .objectives = 3};
static const bv_yardstick measures = {.range = {1, 1, 1},
                                      .reference = {2, 2, 2}};

static void offer_part(bv_archive *archive, bv_random *random, size_t i) {
  double f[MOST], x[] = {(double) i, (double) bv_random_below(random, 3)};
  draw(random, 3, i, f);
  bv_archive_offer(archive, x, f, NULL, &measures);
}

/* The slots told of each part are those of its points that stay, whichever
 * others drive away. */
START_TEST(slots_are_told_by_branch) {
  bv_archive archive;
  bv_archive_init(&archive, &of_parts);
  bv_random random = bv_random_keyed(9, 0, 0);
  for (size_t i = 0; i < OFFERED; i++)
    offer_part(&archive, &random, i);
  size_t held[3] = {0}, told;
  for (size_t i = 0; i < archive.count; i++) {
    double part = bv_archive_x(&archive, archive.live[i])[1];
    const size_t *slots = bv_archive_branch(&archive, archive.live[i], &told);
    bool itself = false;
    for (size_t k = 0; k < told; k++) {
      ck_assert(bv_archive_x(&archive, slots[k])[1] == part);
      itself = itself || slots[k] == archive.live[i];
    }
    ck_assert(itself);
    held[(size_t) part] = told;
  }
  ck_assert_uint_eq(held[0] + held[1] + held[2], archive.count);
  ck_assert_uint_eq(archive.branches.standing, 3);
  const double best[] = {0, 0, 0}, last[] = {0, 1};
  bv_archive_offer(&archive, last, best, NULL, &measures);
  ck_assert_uint_eq(archive.count, 1);
  ck_assert_uint_eq(archive.branches.standing, 1);
  bv_archive_free(&archive);
}
END_TEST

/* No point of an end's part has less of the objective than the end. */
static void compare_ends(const bv_archive *a) {
  for (size_t i = 0; i < a->count; i++) {
    size_t slot = a->live[i], part = (size_t) bv_archive_x(a, slot)[1];
    for (size_t j = 0; j < 3; j++) {
      size_t end = bv_archive_end(a, part, j);
      ck_assert_uint_lt(a->place[end], a->count);
      ck_assert_uint_eq(a->live[a->place[end]], end);
      ck_assert_uint_eq((size_t) bv_archive_x(a, end)[1], part);
      ck_assert_double_le(bv_archive_objectives(a, end)[j],
                          bv_archive_objectives(a, slot)[j]);
    }
  }
}

/* As points come nearer all the time they drive ends away, too. */
START_TEST(ends_are_told_by_branch) {
  bv_archive archive;
  bv_archive_init(&archive, &of_parts);
  bv_random random = bv_random_keyed(11, 0, 0);
  for (size_t i = 0; i < OFFERED; i++) {
    offer_part(&archive, &random, i);
    compare_ends(&archive);
  }
  bv_archive_free(&archive);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {keeps_what_no_other_covers,
                                staircase_is_sorted_and_walks_both_ways,
                                lead_is_the_smallest_shift_that_covers,
                                behind_is_the_shift_that_frees,
                                behind_and_worst_are_those_of_all_points,
                                slots_are_told_by_branch,
                                ends_are_told_by_branch,
                                NULL};
  return check_main("search/archive", tests);
}
