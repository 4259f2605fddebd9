/* SPDX-License-Identifier: MIT */
/* Local solves: what they reach, how soon, and when they end. */
#include <string.h>

#include "check_main.h"
#include "search/solver.h"

enum { VARIABLES = 3, ROOM = 128, SLOPES = 64 };

/* Two squared distances, from (0.2, 0.4, 0.6) and from (0.6, 0.4, 0.6). */
static bv_outcome squares(void *context, bv_evaluation *e) {
  (void) context;
  double rest =
      (e->x[1] - 0.4) * (e->x[1] - 0.4) + (e->x[2] - 0.6) * (e->x[2] - 0.6);
  e->objectives[0] = (e->x[0] - 0.2) * (e->x[0] - 0.2) + rest;
  e->objectives[1] = (e->x[0] - 0.6) * (e->x[0] - 0.6) + rest;
  return BV_OUTCOME_EVALUATED;
}

/* The same; what lies beyond z = 0.8 fails, and so do most of the points near
 * the least. */
static bv_outcome squares_with_holes(void *context, bv_evaluation *e) {
  bool near = fabs(e->x[0] - 0.4) < 0.05 && e->x[1] < 0.43;
  return e->x[2] > 0.8 || near ? BV_OUTCOME_CRASH : squares(context, e);
}

static bv_outcome flat(void *context, bv_evaluation *e) {
  (void) context;
  e->objectives[0] = e->objectives[1] = 1;
  return BV_OUTCOME_EVALUATED;
}

/* A curved valley (H. Rosenbrock, Computer J. 3, 1960); least 0 at 1, 1. */
static bv_outcome valley(void *context, bv_evaluation *e) {
  (void) context;
  double across = e->x[1] - e->x[0] * e->x[0], along = 1 - e->x[0];
  e->objectives[0] = 100 * across * across + along * along;
  return BV_OUTCOME_EVALUATED;
}

static const bv_variable box[VARIABLES] = {{.name = "x", .lo = 0, .hi = 1},
                                           {.name = "y", .lo = 0, .hi = 1},
                                           {.name = "z", .lo = 0, .hi = 1}};
static const bv_variable wide[2] = {{.name = "x", .lo = -2, .hi = 2},
                                    {.name = "y", .lo = -2, .hi = 2}};
static const bv_problem two = {
    .space = {box, VARIABLES}, .objectives = 2, .evaluate = squares};
static const bv_problem holes = {
    .space = {box, VARIABLES}, .objectives = 2, .evaluate = squares_with_holes};
static const bv_problem plain = {
    .space = {box, VARIABLES}, .objectives = 2, .evaluate = flat};
static const bv_problem one = {
    .space = {wide, 2}, .objectives = 1, .evaluate = valley};

typedef struct solved {
  bv_solve_end end;
  size_t evaluations;
  double least;  /* of the larger objective */
  bool known;    /* slopes are handed on */
  double curved; /* the first curvature */
} solved;

static double least_of(const bv_problem *p, const bv_cell_result *result) {
  double least = HUGE_VAL;
  for (size_t i = 0; i < result->count; i++) {
    bv_record_view v =
        bv_record_look(p, result->records + i * bv_record_size(p));
    double largest = v.objectives[0];
    for (size_t j = 1; j < p->objectives; j++)
      largest = fmax(largest, v.objectives[j]);
    if (v.outcome == BV_OUTCOME_EVALUATED)
      least = fmin(least, largest);
  }
  return least;
}

/* Solves from a start with slopes that are all `slope` there, or unknown where
 * that is 0. */
static solved solve(const bv_problem *p, const double *start, double slope,
                    bool curved) {
  double numbers[SLOPES] = {0}, records[ROOM * 6] = {0};
  ck_assert_uint_le(bv_slopes_size(p), SLOPES);
  ck_assert_uint_le(bv_record_size(p), 6);
  bv_slopes slopes = bv_slopes_view(p, numbers);
  *slopes.known = slope != 0;
  for (size_t i = 0; i < slopes.rows * slopes.variables; i++)
    slopes.matrix[i] = slope;
  bv_cell_result result = {.records = records};
  bv_log log = {.problem = p, .result = &result, .most = ROOM};
  for (size_t i = 0; i < slopes.variables; i++)
    slopes.at[i] = bv_variable_encode(&p->space.variables[i], start[i]);
  /* So that the first evaluation tells nothing new of the slopes. */
  p->evaluate(NULL, &(bv_evaluation){.x = start, .objectives = slopes.values});
  bv_subproblem sub = {.start = start,
                       .aim = {.objectives = p->objectives,
                               .origin = (double[]){0, 0},
                               .weight = (double[]){1, 1},
                               .rho = 1e-3},
                       .curved = curved};
  bv_solve_end end = bv_solve(&log, &sub, slopes);
  return (solved){.end = end,
                  .evaluations = result.count,
                  .least = least_of(p, &result),
                  .known = *slopes.known > 0,
                  .curved = slopes.curvatures[0]};
}

static const double far[] = {0.9, 0.8, 0.2}, at_valley[] = {-1.2, 1};

/* 0.04 at (0.4, 0.4, 0.6). */
START_TEST(it_reaches_the_least) {
  solved s = solve(&two, far, 0, false);
  ck_assert_double_lt(s.least, 0.04 + 3e-3);
  ck_assert_uint_le(s.evaluations, 30);
  ck_assert(s.known);
}
END_TEST

/* Squares are what curvatures make a model of without error: three steps,
 * for it isn't trusted farther at once. */
START_TEST(curvatures_lead_there_at_once) {
  solved s = solve(&two, far, 0, true);
  ck_assert_int_eq(s.end, BV_SOLVE_CONVERGED);
  check_close(s.least, 0.04, 1e-4);
  check_close(s.curved, 2, 1e-6);
  ck_assert_uint_le(s.evaluations, 1 + 2 * VARIABLES + 3);
}
END_TEST

/* What they promise isn't there. */
START_TEST(slopes_that_mislead_are_forgotten) {
  solved s = solve(&plain, far, -1, false);
  ck_assert_uint_gt(s.evaluations, 1);
  ck_assert_uint_le(s.evaluations, 1 + 4);
  ck_assert(!s.known);
}
END_TEST

START_TEST(points_that_fail_are_gone_round) {
  solved s = solve(&holes, far, 0, true);
  ck_assert_double_lt(s.least, 0.07);
  ck_assert(s.known);
  const double failing[] = {0.9, 0.8, 0.9};
  ck_assert_int_eq(solve(&holes, failing, 0, false).end, BV_SOLVE_POINTLESS);
}
END_TEST

START_TEST(a_single_objective_is_refined) {
  solved s = solve(&one, at_valley, 0, false);
  ck_assert_double_lt(s.least, 1e-4);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      it_reaches_the_least,
      curvatures_lead_there_at_once,
      slopes_that_mislead_are_forgotten,
      points_that_fail_are_gone_round,
      a_single_objective_is_refined,
      NULL,
  };
  return check_main("search/solver", tests);
}
