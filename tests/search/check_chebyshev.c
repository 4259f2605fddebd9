/* SPDX-License-Identifier: MIT */
/* The augmented Chebyshev function, and the way down on grounds whose least is
 * known by hand. */
#include "check_main.h"
#include "search/chebyshev.h"

enum { VARIABLES = 2 };

static const double origin[] = {1, 2}, weight[] = {10, 5};
static const bv_chebyshev aim = {.objectives = 2,
                                 .limits = 1,
                                 .origin = origin,
                                 .weight = weight,
                                 .rho = 0.01};

START_TEST(height_is_the_largest_scaled_distance) {
  /* 10 (1.5 - 1) = 5 and 5 (4 - 2) = 10. */
  check_close(bv_chebyshev_height(&aim, (const double[]){1.5, 4, -1}),
              10 + 0.01 * 15, 1e-12);
  check_close(bv_chebyshev_height(&aim, (const double[]){1.5, 4, 0}),
              10 + 0.01 * 15, 1e-12);
  /* To break a limit by its tenth costs more than both distances. */
  ck_assert_double_ge(bv_chebyshev_height(&aim, (const double[]){1, 2, 0.1}),
                      10);
}
END_TEST

/* (x - 0.2)^2 and (x - 0.6)^2; the limit: x at least `least`. y does nothing.
 */
typedef struct hills {
  double least, x, values[3];
  int asked;
  int stop_at;
} hills;

static const double *values(bv_ground *g, const double *at, bool slopes) {
  hills *h = g->context;
  (void) slopes;
  h->x = at[0];
  h->values[0] = (at[0] - 0.2) * (at[0] - 0.2);
  h->values[1] = (at[0] - 0.6) * (at[0] - 0.6);
  h->values[2] = h->least - at[0];
  g->stop = h->stop_at > 0 && ++h->asked >= h->stop_at;
  return h->values;
}

static double slope(const bv_ground *g, size_t row, size_t variable) {
  const hills *h = g->context;
  if (variable > 0)
    return 0;
  return row == 2 ? -1 : 2 * (h->x - (row == 0 ? 0.2 : 0.6));
}

/* Goes down from x = 0.9 between 0 and hi; y must stay at 0.3. */
static bv_solve_end descend(hills *h, double hi, double *x) {
  const double zero[] = {0, 0}, one[] = {1, 1};
  const bv_chebyshev plain = {
      .objectives = 2, .limits = 1, .origin = zero, .weight = one, .rho = 1e-3};
  bv_ground ground = {.count = VARIABLES,
                      .lo = (const double[]){0, 0.3},
                      .hi = (const double[]){hi, 0.3},
                      .values = values,
                      .slope = slope,
                      .context = h,
                      .near = 1e-7,
                      .loose = 1e-6,
                      .most = 200};
  double at[] = {hi < 0.9 ? hi : 0.9, 0.3};
  bv_solve_end end = bv_chebyshev_descend(&plain, &ground, at);
  ck_assert_double_eq(at[1], 0.3);
  *x = at[0];
  return end;
}

START_TEST(it_goes_down_to_the_least) {
  double x;
  ck_assert_int_eq(descend(&(hills){.least = 0}, 1, &x), BV_SOLVE_CONVERGED);
  check_close(x, 0.4, 2e-3);
}
END_TEST

START_TEST(it_stays_within_a_limit) {
  double x;
  descend(&(hills){.least = 0.5}, 1, &x);
  check_close(x, 0.5, 2e-3);
}
END_TEST

/* The limit can't be met: it is broken as little as can be. */
START_TEST(it_breaks_a_limit_as_little_as_can_be) {
  double x;
  descend(&(hills){.least = 0.9}, 0.7, &x);
  check_close(x, 0.7, 2e-3);
}
END_TEST

/* x^2; the limits: x at most 0.5, and out of a hump around 0.7. From 0.9 their
 * slopes ask for less and for more. */
static const double *contradicting(bv_ground *g, const double *at,
                                   bool slopes) {
  hills *h = g->context;
  (void) slopes;
  h->x = at[0];
  h->values[0] = at[0] * at[0];
  h->values[1] = at[0] - 0.5;
  h->values[2] = 0.05 - (at[0] - 0.7) * (at[0] - 0.7);
  return h->values;
}

static double slope_contradicting(const bv_ground *g, size_t row,
                                  size_t variable) {
  const hills *h = g->context;
  (void) variable;
  return row == 0 ? 2 * h->x : row == 1 ? 1 : -2 * (h->x - 0.7);
}

START_TEST(it_comes_from_where_limits_contradict_each_other) {
  const double zero[] = {0}, one[] = {1};
  const bv_chebyshev plain = {
      .objectives = 1, .limits = 2, .origin = zero, .weight = one};
  hills h = {0};
  bv_ground ground = {.count = 1,
                      .lo = (const double[]){0.1},
                      .hi = one,
                      .values = contradicting,
                      .slope = slope_contradicting,
                      .context = &h,
                      .near = 1e-7,
                      .loose = 1e-6,
                      .most = 200};
  double x = 0.9;
  ck_assert_int_eq(bv_chebyshev_descend(&plain, &ground, &x),
                   BV_SOLVE_CONVERGED);
  check_close(x, 0.1, 1e-3);
}
END_TEST

START_TEST(it_stops_when_told) {
  double x;
  hills h = {.stop_at = 3};
  ck_assert_int_eq(descend(&h, 1, &x), BV_SOLVE_CUT);
  ck_assert_int_lt(h.asked, 8);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      height_is_the_largest_scaled_distance,
      it_goes_down_to_the_least,
      it_stays_within_a_limit,
      it_breaks_a_limit_as_little_as_can_be,
      it_comes_from_where_limits_contradict_each_other,
      it_stops_when_told,
      NULL};
  return check_main("search/chebyshev", tests);
}
