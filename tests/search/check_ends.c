/* SPDX-License-Identifier: MIT */
/* How a search begins and ends: spaces of a few points, budgets of a few
 * evaluations, what is refused, what stops it, known points to begin with. */
#include <float.h>
#include <string.h>

#include "search/front_volume.h"
#include "search/problems.h"
#include "search/search_run.h"

static bv_outcome all_equal(void *context, bv_evaluation *e) {
  (void) context;
  e->objectives[0] = e->objectives[1] = 7;
  return BV_OUTCOME_EVALUATED;
}

static const bv_variable unit2[] = {{.name = "x", .lo = 0, .hi = 1},
                                    {.name = "y", .lo = 0, .hi = 1}};

START_TEST(equal_objectives_give_one_row) {
  bv_problem problem = {
      .space = {unit2, 2}, .objectives = 2, .evaluate = all_equal};
  bv_search *s = run(&problem, budget(200));
  ck_assert_uint_eq(bv_search_look(s).front, 1);
  ck_assert_uint_eq(bv_search_look(s).evaluations, 200);
  bv_search_free(s);
}
END_TEST

static bv_outcome always_fail(void *context, bv_evaluation *e) {
  (void) context;
  (void) e;
  return BV_OUTCOME_CRASH;
}

/* The search ends after so many evaluations, for there is nothing left. */
static void check_exhausted(const bv_problem *problem, uint64_t evaluations) {
  bv_search *s = run(problem, budget(5000));
  bv_search_state state = bv_search_look(s);
  ck_assert_int_eq(state.stop, BV_STOP_EXHAUSTED);
  ck_assert_uint_eq(state.evaluations, evaluations);
  bv_search_free(s);
}

START_TEST(a_small_space_is_searched_to_its_end) {
  static const bv_variable few[] = {
      {.name = "a", .scale = BV_SCALE_WHOLE, .lo = 1, .hi = 7},
      {.name = "b", .scale = BV_SCALE_CHOICE, .lo = 0, .hi = 0},
      {.name = "c", .scale = BV_SCALE_STEP, .lo = 0, .hi = 1, .step = 0.125},
      {.name = "d", .lo = 2, .hi = 2}};
  bv_problem problem = {
      .space = {few, 4}, .objectives = 2, .evaluate = all_equal};
  check_exhausted(&problem, 63);
}
END_TEST

/* Three doubles: the grid of real numbers ends too, and nothing is feasible
 * that could be varied. */
START_TEST(a_range_of_few_doubles_is_searched_to_its_end) {
  static const bv_variable few[] = {
      {.name = "x", .lo = 1, .hi = 1 + 2 * DBL_EPSILON}};
  bv_problem problem = {
      .space = {few, 1}, .objectives = 1, .evaluate = always_fail};
  check_exhausted(&problem, 3);
}
END_TEST

START_TEST(a_single_point_is_enough) {
  static const bv_variable fixed[] = {{.name = "x", .lo = 3, .hi = 3}};
  bv_problem problem = {
      .space = {fixed, 1}, .objectives = 2, .evaluate = all_equal};
  bv_search *s = run(&problem, budget(100));
  ck_assert_uint_eq(bv_search_look(s).evaluations, 1);
  ck_assert_int_eq(bv_search_look(s).stop, BV_STOP_EXHAUSTED);
  bv_search_free(s);
}
END_TEST

START_TEST(small_budgets_are_kept) {
  const bv_problem *problem = &test_problem_find("BNH")->problem;
  for (uint64_t n = 1; n < 50; n += 12) {
    bv_search *s = run(problem, budget(n));
    ck_assert_uint_eq(bv_search_look(s).evaluations, n);
    ck_assert_int_eq(bv_search_look(s).stop, BV_STOP_EVALUATIONS);
    bv_search_free(s);
  }
}
END_TEST

static void refused(bv_problem problem, bv_search_options options,
                    const char *words) {
  bv_search *s = (bv_search *) &s;
  bv_error error = {0};
  ck_assert_int_eq(bv_search_new(&problem, &options, &s, &error), BV_BAD_DATA);
  ck_assert_ptr_null(s);
  ck_assert_msg(strstr(error.text, words), "%s", error.text);
}

START_TEST(what_cannot_be_searched_is_refused) {
  bv_problem good = test_problem_find("BNH")->problem, bad = good;
  bv_search_options options = budget(0);
  refused(good, options, "at least 1 evaluation");
  bad.objectives = 0;
  refused(bad, budget(10), "1 … 6 objectives, found 0");
  bad.objectives = 7;
  refused(bad, budget(10), "1 … 6 objectives, found 7");
  bad = good;
  bad.limits = 65;
  refused(bad, budget(10), "at most 64 limits");
  bad = good;
  bad.space.count = 0;
  refused(bad, budget(10), "variables, found 0");
  const double start[] = {1, nan("")};
  options = budget(10);
  options.starts = start;
  options.start_count = 1;
  refused(good, options, "start 1: expected finite values");
  options = budget(10);
  options.hypervolume_target = nan("");
  refused(good, options, "hypervolume target");
}
END_TEST

START_TEST(stops_tell_why) {
  const test_problem *bnh = test_problem_find("BNH");
  bv_search_options options = budget(100000);
  options.reference = bnh->reference;
  options.hypervolume_target = 0.99 * bnh->volume;
  bv_search *s = run(&bnh->problem, options);
  bv_search_state state = bv_search_look(s);
  ck_assert_int_eq(state.stop, BV_STOP_TARGET);
  ck_assert_double_ge(state.hypervolume, 0.99 * bnh->volume);
  ck_assert_uint_lt(state.evaluations, 2000);
  bv_search_free(s);
  options = budget(200000);
  options.stagnation = 3000;
  s = run(&bnh->problem, options);
  ck_assert_int_eq(bv_search_look(s).stop, BV_STOP_STAGNATION);
  ck_assert_uint_lt(bv_search_look(s).evaluations, 50000);
  bv_search_free(s);
  ck_assert_int_eq(bv_search_new(&bnh->problem, &options, &s, NULL), BV_OK);
  bv_search_stop(s, BV_STOP_SECONDS);
  ck_assert(bv_search_done(s) && !bv_search_wants(s));
  ck_assert_str_eq(bv_stop_word(bv_search_look(s).stop), "seconds");
  bv_search_free(s);
}
END_TEST

START_TEST(starts_are_evaluated_first) {
  const test_problem *t = test_problem_find("ZDT4");
  double starts[3][10] = {{0}};
  starts[1][0] = 0.5;
  starts[2][0] = 1;
  bv_search_options options = budget(60);
  options.starts = starts[0];
  options.start_count = 3;
  bv_search *s = run(&t->problem, options);
  ck_assert_uint_ge(bv_search_look(s).front, 3);
  bool found[3] = {false};
  for (size_t i = 0; i < bv_search_look(s).front; i++)
    for (size_t k = 0; k < 3; k++)
      found[k] = found[k] ||
                 !memcmp(bv_search_front(s, i).x, starts[k], sizeof starts[k]);
  ck_assert(found[0] && found[1] && found[2]);
  bv_search_free(s);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {equal_objectives_give_one_row,
                                a_small_space_is_searched_to_its_end,
                                a_range_of_few_doubles_is_searched_to_its_end,
                                a_single_point_is_enough,
                                small_budgets_are_kept,
                                what_cannot_be_searched_is_refused,
                                stops_tell_why,
                                starts_are_evaluated_first,
                                NULL};
  return check_main("search/ends", tests);
}
