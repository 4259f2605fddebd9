/* SPDX-License-Identifier: MIT */
/* nudge: which variables of the front's points it moves, and where to. */
#include "check_main.h"
#include "search/plan.h"

enum { VARIABLES = 20, CELLS = 50 };

static const bv_yardstick measures = {.range = {1, 1, 1},
                                      .reference = {9, 9, 9}};

static bv_variable range[VARIABLES];
static const bv_problem problem = {.space = {range, VARIABLES},
                                   .objectives = 2};
static const bv_problem sheet = {.space = {range, VARIABLES}, .objectives = 3};

static bv_search *new_search(const bv_problem *of) {
  bv_search_options options = bv_search_defaults();
  bv_search *s;
  for (size_t i = 0; i < VARIABLES; i++)
    range[i] = (bv_variable){.name = "x", .lo = 0, .hi = 1};
  ck_assert_int_eq(bv_search_new(of, &options, &s, NULL), BV_OK);
  return s;
}

/* A point of a front that extends along variable 7 alone. */
static void offer(bv_search *s, double along) {
  double x[VARIABLES];
  for (size_t i = 0; i < VARIABLES; i++)
    x[i] = i == 7 ? along : 0.5;
  bv_archive_offer(&s->front, x, (double[]){along, 1 - along, 0}, NULL,
                   &measures);
}

/* Of the points nudged, the part of those in which variable 7 was, where it was
 * at one of `stops` points of the front. */
static double part_along(size_t stops) {
  bv_search *s = new_search(&problem);
  bv_random random = bv_random_keyed(5, 0, 0);
  size_t moved = 0, points = 0;
  for (size_t k = 0; k < stops; k++)
    offer(s, ((double) k + 0.5) / (double) stops);
  for (int c = 0; c < CELLS; c++) {
    bv_cell cell = {.most = BV_LIST_SIZE};
    ck_assert(bv_operator_nudge.plan(s, &random, &cell));
    for (size_t at = 0; at < cell.length; at += VARIABLES, points++) {
      size_t others = 0;
      for (size_t i = 0; i < VARIABLES; i++)
        others += i != 7 && cell.data[at + i] != 0.5;
      ck_assert_uint_le(others, 2);
      moved += others == 0;
    }
    bv_cell_free(&cell);
  }
  bv_search_free(s);
  return (double) moved / (double) points;
}

/* Of points nudged from variable 7 below 0.1, the part of those in which it is
 * above 0.5. */
static double part_leapt(const bv_problem *of) {
  bv_search *s = new_search(of);
  bv_random random = bv_random_keyed(5, 0, 0);
  size_t leapt = 0, points = 0;
  for (size_t k = 0; k < 200; k++)
    offer(s, 0.1 * ((double) k + 0.5) / 200);
  for (int c = 0; c < CELLS; c++) {
    bv_cell cell = {.most = BV_LIST_SIZE};
    ck_assert(bv_operator_nudge.plan(s, &random, &cell));
    for (size_t at = 0; at < cell.length; at += VARIABLES, points++)
      leapt += cell.data[at + 7] > 0.5;
    bv_cell_free(&cell);
  }
  bv_search_free(s);
  return (double) leapt / (double) points;
}

/* Four of five nudges, and of the others one in twenty; two of a point's
 * coordinates are nudged one time in five. */
START_TEST(nudges_go_along_the_front) {
  double one = 0.8 + 0.2 / VARIABLES;
  check_close(part_along(200), 0.8 * one + 0.2 * one * one, 0.1);
}
END_TEST

/* A front of one point extends nowhere: every variable is as likely. */
START_TEST(a_single_point_is_nudged_anywhere) {
  double one = 1.0 / VARIABLES;
  ck_assert_double_lt(part_along(1), 2 * one);
  ck_assert_double_gt(part_along(1), 0.5 * one);
}
END_TEST

/* With two objectives half of the nudges along the front go anywhere, of these
 * half beyond the middle: 0.2 of all; with three twice as many. Other nudges
 * seldom go so far. */
START_TEST(nudges_along_the_front_leap) {
  double two = part_leapt(&problem), three = part_leapt(&sheet);
  ck_assert_double_gt(two, 0.2);
  ck_assert_double_lt(two, 0.32);
  ck_assert_double_gt(three, 0.36);
  ck_assert_double_lt(three, 0.48);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {nudges_go_along_the_front,
                                a_single_point_is_nudged_anywhere,
                                nudges_along_the_front_leap, NULL};
  return check_main("search/nudge", tests);
}
