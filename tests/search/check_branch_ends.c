/* SPDX-License-Identifier: MIT */
/* ends: where branches have ends of their own, and what is made there. */
#include "search/search_begun.h"

/* Points of each branch, along its front. */
enum { POINTS = 50, CELLS = 40 };

/* The third objective is a branch's own. */
static const bv_variable mixed[] = {
    {.name = "x", .lo = 0, .hi = 1},
    {.name = "core", .scale = BV_SCALE_ORDERED, .lo = 0, .hi = 3}};
static const bv_problem problem = {.space = {mixed, 2}, .objectives = 3};
static const bv_yardstick measures = {.range = {1, 1, 1},
                                      .reference = {9, 9, 9}};

static void offer(bv_search *s, double x, double core, const double *f) {
  offer_point(s, (double[]){x, core}, f);
}

/* The second core's front lies at x from 0.1 to 0.2, the third's, which is
 * larger and better, from 0.8 to 0.9. */
static void offer_fronts(bv_search *s, size_t points) {
  for (size_t i = 0; i < points; i++) {
    double along = (double) i / (double) (points > 1 ? points - 1 : 1);
    double f[] = {2 - along, 1 + along, 1};
    offer(s, 0.1 + 0.1 * along, 1, f);
    f[0] -= 1;
    f[1] -= 1;
    f[2] = 2;
    offer(s, 0.8 + 0.1 * along, 2, f);
  }
}

static bv_search *begin(const bv_problem *p) {
  return begun(p, bv_search_defaults().evaluations, &measures);
}

static bool within(double x, double lo, double hi) {
  return x >= lo - 1e-9 && x <= hi + 1e-9;
}

/* Of the points made on the second core, the parts that lie beside its own ends
 * and on the way to an end of the third. */
static void parts_made(double *beside, double *between) {
  bv_search *s = begin(&problem);
  bv_random random = bv_random_keyed(3, 0, 0);
  double made = 0;
  *beside = *between = 0;
  offer_fronts(s, POINTS);
  for (int c = 0; c < CELLS; c++) {
    bv_cell cell = {.most = BV_LIST_SIZE};
    ck_assert(bv_operator_ends.plan(s, &random, &cell));
    for (size_t at = 0; at < cell.length; at += 2) {
      double x = cell.data[at], core = cell.data[at + 1];
      ck_assert(core == 1 || core == 2);
      made += core == 1;
      *beside += core == 1 && (within(x, 0.07, 0.13) || within(x, 0.17, 0.23));
      *between += core == 1 && within(x, 0.23, 0.9);
    }
    bv_cell_free(&cell);
  }
  *beside /= made;
  *between /= made;
  bv_search_free(s);
}

/* Half go beside the ends and next to none of them farther, for the six points
 * nearest to one are within 0.013; a few of the others do, too. Of those
 * underway to the other core's end half go all the way, which is new but once.
 */
START_TEST(points_are_made_at_the_ends) {
  double beside, between;
  parts_made(&beside, &between);
  ck_assert_double_gt(beside, 0.6);
  ck_assert_double_gt(between, 0.2);
  ck_assert_double_gt(beside + between, 0.95);
}
END_TEST

/* Ten of eleven start from the second core: five points of the third drive its
 * others off. */
START_TEST(points_stay_on_the_branch_they_start_from) {
  bv_search *s = begin(&problem);
  bv_random random = bv_random_keyed(3, 1, 0);
  double made = 0, kept = 0;
  offer_fronts(s, POINTS);
  for (int i = 0; i < 5; i++)
    offer(s, 0.5 + 0.1 * i, 2, (double[]){0.2 * i, 0.8 - 0.2 * i, 2});
  ck_assert_uint_eq(s->front.count, POINTS + 5);
  for (int c = 0; c < CELLS; c++) {
    bv_cell cell = {.most = BV_LIST_SIZE};
    ck_assert(bv_operator_ends.plan(s, &random, &cell));
    for (size_t at = 0; at < cell.length; at += 2, made++)
      kept += cell.data[at + 1] == 1;
    bv_cell_free(&cell);
  }
  ck_assert_double_gt(kept / made, 0.87);
  bv_search_free(s);
}
END_TEST

START_TEST(its_share_grows_with_the_points_of_a_branch) {
  bv_search *s = begin(&problem);
  offer_fronts(s, 1);
  ck_assert_int_eq(bv_operator_ends.turn(s), BV_TURN_NONE);
  bv_search_free(s);
  s = begin(&problem);
  offer_fronts(s, 4);
  ck_assert_int_eq(bv_operator_ends.turn(s), BV_TURN_SHARE);
  check_close(bv_operator_ends.share(s), 0.12 * 0.75, 1e-12);
  bv_search_free(s);
}
END_TEST

/* Where all objectives differ within branches a better one cuts the front of
 * another short. */
START_TEST(it_works_only_where_an_objective_is_a_branchs_own) {
  bv_search *s = begin(&problem);
  offer_fronts(s, POINTS);
  offer(s, 0.5, 1, (double[]){1.5, 1.5, 0.9});
  ck_assert_int_eq(bv_operator_ends.turn(s), BV_TURN_NONE);
  bv_search_free(s);
}
END_TEST

START_TEST(it_works_only_where_there_are_branches) {
  const bv_problem plain = {.space = {mixed, 1}, .objectives = 3};
  bv_search *s = begin(&plain);
  for (int i = 0; i < POINTS; i++) {
    double x = (double) i / POINTS;
    bv_archive_offer(&s->front, &x, (double[]){x, 1 - x, 1}, NULL, &measures);
  }
  ck_assert_int_eq(bv_operator_ends.turn(s), BV_TURN_NONE);
  bv_search_free(s);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      points_are_made_at_the_ends,
      points_stay_on_the_branch_they_start_from,
      its_share_grows_with_the_points_of_a_branch,
      it_works_only_where_an_objective_is_a_branchs_own,
      it_works_only_where_there_are_branches,
      NULL,
  };
  return check_main("search/branch_ends", tests);
}
