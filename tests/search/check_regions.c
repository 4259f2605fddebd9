/* SPDX-License-Identifier: MIT */
/* Searches of boxes with infeasible and with flat regions, against areas worked
 * out by hand. */
#include "base/random.h"
#include "search/search_run.h"

#define PI 3.14159265358979323846

static const bv_variable unit[] = {{.name = "a", .lo = 0, .hi = 1},
                                   {.name = "b", .lo = 0, .hi = 1},
                                   {.name = "c", .lo = 0, .hi = 1},
                                   {.name = "d", .lo = 0, .hi = 1},
                                   {.name = "e", .lo = 0, .hi = 1}};

typedef bv_outcome region(void *context, bv_evaluation *e);

static bv_problem over_unit_box(size_t variables, size_t limits, region *f) {
  return (bv_problem){.space = {unit, variables},
                      .objectives = 2,
                      .limits = limits,
                      .evaluate = f};
}

/* The worst of three seeds, up to the reference 1.1, 1.1. */
static double worst_volume(const bv_problem *problem, uint64_t evaluations) {
  const double reference[] = {1.1, 1.1};
  double worst = HUGE_VAL;
  for (uint64_t seed = 1; seed <= 3; seed++) {
    bv_search_options options = budget(evaluations);
    options.seed = seed;
    options.reference = reference;
    bv_search *s = run(problem, options);
    worst = fmin(worst, bv_search_look(s).hypervolume);
    bv_search_free(s);
  }
  return worst;
}

/* The share of the box where f gives what `is_there` looks for. */
static double share_where(const bv_problem *problem,
                          bool (*is_there)(const bv_evaluation *e)) {
  enum { POINTS = 20000 };
  bv_random random = bv_random_keyed(1, 2, 3);
  double x[5], objectives[2], limits[2];
  bv_evaluation e = {.x = x, .objectives = objectives, .limits = limits};
  size_t there = 0;
  for (size_t i = 0; i < POINTS; i++) {
    for (size_t k = 0; k < problem->space.count; k++)
      x[k] = bv_random_unit(&random);
    problem->evaluate(NULL, &e);
    there += is_there(&e);
  }
  return (double) there / POINTS;
}

static bool is_feasible(const bv_evaluation *e) {
  return e->limits[0] <= 0;
}

/* The ideal corner and every other one are cut off: f1 = x, f2 = y, no point
 * nearer than 0.4 to a corner. */
static bv_outcome no_corners(void *context, bv_evaluation *e) {
  (void) context;
  double dx = fmin(e->x[0], 1 - e->x[0]), dy = fmin(e->x[1], 1 - e->x[1]);
  e->objectives[0] = e->x[0];
  e->objectives[1] = e->x[1];
  e->limits[0] = 0.4 - sqrt(dx * dx + dy * dy);
  return BV_OUTCOME_EVALUATED;
}

START_TEST(infeasible_corners_are_searched_around) {
  bv_problem problem = over_unit_box(2, 1, no_corners);
  check_close(share_where(&problem, is_feasible), 1 - 0.16 * PI, 0.05);
  /* A quarter of a circle is left out of the square. */
  double whole = 1.1 * 1.1 - 0.16 * PI / 4;
  double volume = worst_volume(&problem, 1000);
  ck_assert_msg(volume > 0.995 * whole && volume <= whole, "%g of %g", volume,
                whole);
}
END_TEST

/* How far a variable is from the nearer of its two ends. */
static double from_ends(double x) {
  return fmin(x, 1 - x);
}

/* Feasible in the 32 corners alone, where every variable is near one of its
 * ends; two of them hold the front. */
static bv_outcome corners_alone(void *context, bv_evaluation *e) {
  (void) context;
  const double *x = e->x;
  double rest = 0, farthest = 0;
  for (size_t i = 1; i < 5; i++)
    rest += i % 2 ? x[i] : 1 - x[i];
  for (size_t i = 0; i < 5; i++)
    farthest = fmax(farthest, from_ends(x[i]));
  e->objectives[0] = x[0] + rest;
  e->objectives[1] = (1 - x[0]) * (1 - x[0]) + rest;
  e->limits[0] = farthest - 0.15;
  return BV_OUTCOME_EVALUATED;
}

START_TEST(what_is_feasible_in_corners_alone_is_found) {
  bv_problem problem = over_unit_box(5, 1, corners_alone);
  check_close(share_where(&problem, is_feasible), pow(0.3, 5), 0.4);
  /* f2 = (1 - f1)^2 from 0 to 0.15 and from 0.85 to 1; between them no step. */
  double under = (1 - pow(0.85, 3)) / 3 + 0.7 * 0.85 * 0.85 + pow(0.15, 3) / 3;
  double whole = 1.1 * 1.1 - under;
  double volume = worst_volume(&problem, 3000);
  ck_assert_msg(volume > 0.99 * whole && volume <= whole, "%g of %g", volume,
                whole);
}
END_TEST

/* The objectives of ZDT1 in five variables (E. Zitzler, K. Deb, L. Thiele,
 * Evol. Comput. 8(2), 2000). */
static void two_objectives(const double *x, double *objectives) {
  double g = 1;
  for (size_t i = 1; i < 5; i++)
    g += 9.0 / 4 * x[i];
  objectives[0] = x[0];
  objectives[1] = g * (1 - sqrt(x[0] / g));
}

/* The front of a problem that is flat on 60 % of its box is found. */
static void find_past_flat(bv_evaluate evaluate,
                           bool is_flat(const bv_evaluation *)) {
  bv_problem problem = over_unit_box(5, 0, evaluate);
  check_close(share_where(&problem, is_flat), 0.6, 0.05);
  double whole = 1.1 * 1.1 - 1.0 / 3;
  double volume = worst_volume(&problem, 2000);
  ck_assert_msg(volume > 0.99 * whole && volume <= whole, "%g of %g", volume,
                whole);
}

static bool is_flat(const bv_evaluation *e) {
  return e->objectives[0] == 20 && e->objectives[1] == 20;
}

/* Both objectives are constant on 60 % of the box. */
static bv_outcome flat(void *context, bv_evaluation *e) {
  (void) context;
  two_objectives(e->x, e->objectives);
  if (e->x[1] > 0.4)
    e->objectives[0] = e->objectives[1] = 20;
  return BV_OUTCOME_EVALUATED;
}

START_TEST(a_large_flat_region_is_left) {
  find_past_flat(flat, is_flat);
}
END_TEST

static bool is_flat_in_one(const bv_evaluation *e) {
  return e->objectives[1] == 1;
}

/* One objective is constant on 60 % of the box: nothing there tells which way
 * it falls. */
static bv_outcome flat_in_one(void *context, bv_evaluation *e) {
  (void) context;
  double fall = fmax(e->x[0] - 0.6, 0) / 0.4, rest = 0;
  for (size_t i = 1; i < 5; i++)
    rest += e->x[i] * e->x[i];
  e->objectives[0] = fall + rest;
  e->objectives[1] = (1 - fall) * (1 - fall);
  return BV_OUTCOME_EVALUATED;
}

START_TEST(an_objective_flat_in_most_places_is_followed_where_it_falls) {
  find_past_flat(flat_in_one, is_flat_in_one);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      infeasible_corners_are_searched_around,
      what_is_feasible_in_corners_alone_is_found, a_large_flat_region_is_left,
      an_objective_flat_in_most_places_is_followed_where_it_falls, NULL};
  return check_main("search/regions", tests);
}
