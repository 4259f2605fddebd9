/* SPDX-License-Identifier: MIT */
/* Local solves: what they reach, and when they end. */
#include <string.h>

#include "check_main.h"
#include "search/solver.h"

enum { VARIABLES = 3, ROOM = 100, SLOPES = 64 };

/* Two squared distances, from (0.2, 0.4, 0.6) and from (0.6, 0.4, 0.6). */
static bv_outcome squares(void *context, bv_evaluation *e) {
  (void) context;
  double rest =
      (e->x[1] - 0.4) * (e->x[1] - 0.4) + (e->x[2] - 0.6) * (e->x[2] - 0.6);
  e->objectives[0] = (e->x[0] - 0.2) * (e->x[0] - 0.2) + rest;
  e->objectives[1] = (e->x[0] - 0.6) * (e->x[0] - 0.6) + rest;
  return BV_OUTCOME_EVALUATED;
}

static const bv_variable box[VARIABLES] = {{.name = "x", .lo = 0, .hi = 1},
                                           {.name = "y", .lo = 0, .hi = 1},
                                           {.name = "z", .lo = 0, .hi = 1}};
static const bv_problem problem = {
    .space = {box, VARIABLES}, .objectives = 2, .evaluate = squares};

typedef struct solved {
  bv_solve_end end;
  size_t evaluations;
  double least; /* of the larger objective */
  bool known;   /* slopes are handed on */
} solved;

/* Solves for the least of the larger objective, 0.04 at (0.4, 0.4, 0.6), with
 * slopes that are all `slope`, or unknown where that is 0. */
static solved solve(size_t patience, double slope) {
  double numbers[SLOPES] = {0}, records[ROOM * 6] = {0};
  ck_assert_uint_le(bv_slopes_size(&problem), SLOPES);
  ck_assert_uint_le(bv_record_size(&problem), 6);
  bv_slopes slopes = bv_slopes_view(&problem, numbers);
  *slopes.known = slope != 0;
  for (size_t i = 0; i < 2 * VARIABLES; i++)
    slopes.matrix[i] = slope;
  bv_cell_result result = {.records = records};
  bv_log log = {.problem = &problem, .result = &result, .most = ROOM};
  const double start[] = {0.9, 0.8, 0.2};
  /* So that the first evaluation tells nothing new of the slopes. */
  memcpy(slopes.at, start, sizeof start);
  squares(NULL, &(bv_evaluation){.x = start, .objectives = slopes.values});
  solved s = {.end = bv_solve(&log,
                              &(bv_subproblem){.start = start,
                                               .origin = (double[]){0, 0},
                                               .weight = (double[]){1, 1},
                                               .rho = 1e-3,
                                               .step = 1e-3,
                                               .patience = patience},
                              slopes),
              .evaluations = result.count,
              .least = HUGE_VAL,
              .known = *slopes.known > 0};
  for (size_t i = 0; i < result.count; i++) {
    bv_record_view v =
        bv_record_look(&problem, records + i * bv_record_size(&problem));
    s.least = fmin(s.least, fmax(v.objectives[0], v.objectives[1]));
  }
  return s;
}

START_TEST(it_reaches_the_least) {
  solved s = solve(0, 0);
  ck_assert_int_eq(s.end, BV_SOLVE_CONVERGED);
  check_close(s.least, 0.04, 1e-4);
  ck_assert(s.known);
}
END_TEST

/* The start's is 0.81. */
START_TEST(patience_ends_it_near_the_least) {
  solved s = solve(4, 0);
  ck_assert_int_eq(s.end, BV_SOLVE_CUT);
  ck_assert_uint_lt(2 * s.evaluations, solve(0, 0).evaluations);
  ck_assert_double_lt(s.least, 0.04 + 0.02 * (0.81 - 0.04));
  ck_assert(s.known);
}
END_TEST

/* Uphill from the start: each try is worse than it. */
START_TEST(slopes_that_mislead_are_forgotten) {
  solved s = solve(4, -1);
  ck_assert_int_eq(s.end, BV_SOLVE_CUT);
  ck_assert_uint_le(s.evaluations, 1 + 4);
  ck_assert(!s.known);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      it_reaches_the_least,
      patience_ends_it_near_the_least,
      slopes_that_mislead_are_forgotten,
      NULL,
  };
  return check_main("search/solver", tests);
}
