/* SPDX-License-Identifier: MIT */
/* Searches in trouble: noise, failures, hidden equalities, odd scales.
 * check_regions.c has flat and infeasible regions, check_ends.c small spaces
 * and budgets. */
#include <string.h>

#include "base/random.h"
#include "search/front_volume.h"
#include "search/problems.h"
#include "search/search_run.h"

/* A problem around another one, changed by `change`. */
typedef struct wrapped {
  const bv_problem *inner;
  bv_outcome (*change)(const bv_problem *inner, bv_evaluation *e);
} wrapped;

static bv_outcome evaluate_wrapped(void *context, bv_evaluation *e) {
  wrapped *w = context;
  bv_outcome outcome = w->inner->evaluate(w->inner->context, e);
  return outcome == BV_OUTCOME_EVALUATED ? w->change(w->inner, e) : outcome;
}

static double share_under(const char *name, uint64_t evaluations,
                          bv_outcome (*change)(const bv_problem *,
                                               bv_evaluation *)) {
  const test_problem *t = test_problem_find(name);
  wrapped w = {&t->problem, change};
  bv_problem problem = t->problem;
  problem.evaluate = evaluate_wrapped;
  problem.context = &w;
  double worst = HUGE_VAL;
  for (uint64_t seed = 1; seed <= 3; seed++) {
    bv_search_options options = budget(evaluations);
    options.seed = seed;
    bv_search *s = run(&problem, options);
    worst = fmin(worst, front_volume(s, t) / t->volume);
    bv_search_free(s);
  }
  return worst;
}

/* Noise of a relative size of 1e-4 that depends on x alone. */
static bv_outcome add_noise(const bv_problem *inner, bv_evaluation *e) {
  uint64_t key[2] = {0};
  for (size_t i = 0; i < inner->space.count; i++) {
    uint64_t bits;
    memcpy(&bits, &e->x[i], sizeof bits);
    key[i % 2] ^= bits * (2 * i + 1);
  }
  bv_random random = bv_random_keyed(3, key[0], key[1]);
  for (size_t j = 0; j < inner->objectives; j++)
    e->objectives[j] *= 1 + 1e-4 * bv_random_normal(&random);
  return BV_OUTCOME_EVALUATED;
}

START_TEST(noise_costs_little) {
  double zdt1 = share_under("ZDT1", 5000, add_noise);
  double beam = share_under("Welded beam", 5000, add_noise);
  ck_assert_msg(zdt1 > 0.95 && beam > 0.95, "%g, %g", zdt1, beam);
}
END_TEST

/* Fails in stripes that make up 30 % of the box. */
static bv_outcome fail_in_stripes(const bv_problem *inner, bv_evaluation *e) {
  (void) inner;
  double stripe = 10 * e->x[1] - floor(10 * e->x[1]);
  return stripe > 0.35 && stripe < 0.65 ? BV_OUTCOME_ERROR
                                        : BV_OUTCOME_EVALUATED;
}

/* The same, as numbers that aren't any. */
static bv_outcome nan_in_stripes(const bv_problem *inner, bv_evaluation *e) {
  if (fail_in_stripes(inner, e) == BV_OUTCOME_ERROR)
    e->objectives[0] = nan("");
  return BV_OUTCOME_EVALUATED;
}

static bv_outcome infinite_in_stripes(const bv_problem *inner,
                                      bv_evaluation *e) {
  if (fail_in_stripes(inner, e) == BV_OUTCOME_ERROR)
    e->objectives[1] = HUGE_VAL;
  return BV_OUTCOME_EVALUATED;
}

START_TEST(failing_stripes_are_searched_around) {
  double error = share_under("ZDT1", 5000, fail_in_stripes);
  double none = share_under("ZDT1", 5000, nan_in_stripes);
  double infinite = share_under("OSY", 5000, infinite_in_stripes);
  ck_assert_msg(error > 0.95 && none > 0.95 && infinite > 0.5, "%g, %g, %g",
                error, none, infinite);
}
END_TEST

static bv_outcome always_fail(void *context, bv_evaluation *e) {
  (void) context;
  return e->x[0] < 0.5 ? BV_OUTCOME_TIMEOUT : BV_OUTCOME_CRASH;
}

static const bv_variable unit2[] = {{.name = "x", .lo = 0, .hi = 1},
                                    {.name = "y", .lo = 0, .hi = 1}};

START_TEST(all_points_failing_ends_with_examples) {
  bv_problem problem = {
      .space = {unit2, 2}, .objectives = 2, .evaluate = always_fail};
  bv_search *s = run(&problem, budget(300));
  bv_search_state state = bv_search_look(s);
  ck_assert_uint_eq(state.evaluations, 300);
  ck_assert_uint_eq(state.front, 0);
  ck_assert_uint_eq(state.feasible, 0);
  ck_assert_double_eq(state.hypervolume, 0);
  ck_assert_uint_eq(state.outcomes[BV_OUTCOME_TIMEOUT] +
                        state.outcomes[BV_OUTCOME_CRASH],
                    300);
  const bv_failures *failures = bv_search_failures(s);
  ck_assert_uint_eq(failures->groups, 2);
  for (size_t i = 0; i < 2; i++) {
    const double *x = bv_failures_first(failures, i);
    ck_assert(failures->group[i].outcome ==
              (x[0] < 0.5 ? BV_OUTCOME_TIMEOUT : BV_OUTCOME_CRASH));
    ck_assert_uint_eq(failures->group[i].count,
                      state.outcomes[failures->group[i].outcome]);
  }
  bv_search_free(s);
}
END_TEST

/* Least distance from the middle; the limit is never met, least at x = 0.3. */
static bv_outcome never(void *context, bv_evaluation *e) {
  (void) context;
  e->objectives[0] = e->x[0];
  e->objectives[1] = e->x[1];
  e->limits[0] = 1 + fabs(e->x[0] - 0.3);
  return BV_OUTCOME_EVALUATED;
}

START_TEST(a_limit_nothing_meets_tells_the_nearest) {
  bv_problem problem = {
      .space = {unit2, 2}, .objectives = 2, .limits = 1, .evaluate = never};
  bv_search *s = run(&problem, budget(500));
  ck_assert_uint_eq(bv_search_look(s).front, 0);
  ck_assert_uint_eq(bv_search_nearest_count(s), 10);
  ck_assert_double_le(bv_search_nearest(s, 0).violation, 1.001);
  ck_assert_double_le(fabs(bv_search_nearest(s, 0).x[0] - 0.3), 0.001);
  for (size_t i = 1; i < 10; i++)
    ck_assert_double_ge(bv_search_nearest(s, i).violation,
                        bv_search_nearest(s, i - 1).violation);
  bv_search_free(s);
}
END_TEST

/* x + y = 1 to a thousandth, as two limits. */
static bv_outcome on_a_line(void *context, bv_evaluation *e) {
  (void) context;
  double off = e->x[0] + e->x[1] - 1;
  e->objectives[0] = e->x[0] * e->x[0];
  e->objectives[1] = e->x[1] * e->x[1];
  e->limits[0] = off - 1e-3;
  e->limits[1] = -off - 1e-3;
  return BV_OUTCOME_EVALUATED;
}

START_TEST(a_hidden_equality_is_met) {
  bv_problem problem = {
      .space = {unit2, 2}, .objectives = 2, .limits = 2, .evaluate = on_a_line};
  const double reference[] = {1, 1};
  bv_search_options options = budget(2000);
  options.reference = reference;
  bv_search *s = run(&problem, options);
  /* f2 = (1 - sqrt f1)^2 bounds the area to 1 - 1/6. */
  double volume = bv_search_look(s).hypervolume;
  ck_assert_msg(volume > 0.98 * 5 / 6, "%g", volume);
  bv_search_free(s);
}
END_TEST

/* Variables from nanometres to megahertz; flat where the sum is small. */
static bv_outcome odd_scales(void *context, bv_evaluation *e) {
  (void) context;
  double a = e->x[0] / 1e-9, b = e->x[1] / 1e6, c = log10(e->x[2]) / 6;
  e->objectives[0] = 1e9 * (a + b * b);
  e->objectives[1] = 1e-9 * ((1 - a) * (1 - a) + fmax(b - 0.2, 0) + c * c);
  return BV_OUTCOME_EVALUATED;
}

START_TEST(odd_scales_do_not_matter) {
  static const bv_variable odd[] = {
      {.name = "gap", .lo = 0, .hi = 1e-9},
      {.name = "frequency", .lo = 0, .hi = 1e6},
      {.name = "part", .scale = BV_SCALE_LOG, .lo = 1, .hi = 1e6}};
  bv_problem problem = {
      .space = {odd, 3}, .objectives = 2, .evaluate = odd_scales};
  const double reference[] = {1e9, 1e-9};
  bv_search_options options = budget(2000);
  options.reference = reference;
  bv_search *s = run(&problem, options);
  /* f2 = (1 - f1)^2: the area is 1 - 1/3. */
  double volume = bv_search_look(s).hypervolume;
  ck_assert_msg(volume > 0.99 * 2 / 3, "%g", volume);
  bv_search_free(s);
}
END_TEST

/* Distance of a choice from a thousandth part, and the cost of a number. */
static bv_outcome pick(void *context, bv_evaluation *e) {
  (void) context;
  e->objectives[0] = fabs(e->x[0] - 617) + e->x[1];
  e->objectives[1] = 1 - e->x[1] + (e->x[0] < 500);
  return BV_OUTCOME_EVALUATED;
}

START_TEST(one_of_a_thousand_choices_is_found) {
  static const bv_variable parts[] = {
      {.name = "part", .scale = BV_SCALE_ORDERED, .lo = 0, .hi = 999},
      {.name = "x", .lo = 0, .hi = 1}};
  bv_variable unordered[] = {parts[0], parts[1]};
  unordered[0].scale = BV_SCALE_CHOICE;
  bv_problem problem = {.space = {parts, 2}, .objectives = 2, .evaluate = pick};
  bv_search *s = run(&problem, budget(1000));
  ck_assert_double_eq(bv_search_front(s, 0).x[0], 617);
  bv_search_free(s);
  problem.space.variables = unordered;
  s = run(&problem, budget(10000));
  ck_assert_double_eq(bv_search_front(s, 0).x[0], 617);
  bv_search_free(s);
}
END_TEST

/* L. Rosenbrock's valley in four variables, least 0 at (1, 1, 1, 1). */
static bv_outcome valley(void *context, bv_evaluation *e) {
  (void) context;
  e->objectives[0] = 0;
  for (size_t i = 0; i < 3; i++)
    e->objectives[0] +=
        100 * pow(e->x[i + 1] - e->x[i] * e->x[i], 2) + pow(1 - e->x[i], 2);
  return BV_OUTCOME_EVALUATED;
}

START_TEST(one_objective_gives_the_best_point) {
  static const bv_variable box[] = {{.name = "a", .lo = -5, .hi = 5},
                                    {.name = "b", .lo = -5, .hi = 5},
                                    {.name = "c", .lo = -5, .hi = 5},
                                    {.name = "d", .lo = -5, .hi = 5}};
  bv_problem problem = {.space = {box, 4}, .objectives = 1, .evaluate = valley};
  bv_search *s = run(&problem, budget(5000));
  ck_assert_uint_eq(bv_search_look(s).front, 1);
  double least = bv_search_front(s, 0).objectives[0];
  ck_assert_msg(least < 0.05, "%g", least);
  bv_search_free(s);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {noise_costs_little,
                                failing_stripes_are_searched_around,
                                all_points_failing_ends_with_examples,
                                a_limit_nothing_meets_tells_the_nearest,
                                a_hidden_equality_is_met,
                                odd_scales_do_not_matter,
                                one_of_a_thousand_choices_is_found,
                                one_objective_gives_the_best_point,
                                NULL};
  return check_main("search/trouble", tests);
}
