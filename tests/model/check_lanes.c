/* SPDX-License-Identifier: MIT */
/* The functions of lanes.h against the C library. */
#include <math.h>

#include "check_main.h"
#include "model/lanes.h"

enum { STEPS = 4000 };

static double between(double lo, double hi, int i) {
  return lo + (hi - lo) * i / STEPS;
}

static void check_near(const char *what, double x, double got, double wanted) {
  ck_assert_msg(fabs(got - wanted) <= 1e-12 * fabs(wanted) + 1e-15,
                "%s of %.17g: %.17g, wanted %.17g", what, x, got, wanted);
}

START_TEST(exponentials) {
  for (int i = 0; i <= STEPS; i++) {
    double x = between(-0.1, 0.1, i), y = between(-700, 700, i);
    check_near("growth", x, bv_lane_growth(x), x == 0 ? 1 : expm1(x) / x);
    double n = 8 * x, z = 8 * (x + 0.1);
    check_near("faded", z, bv_lane_faded(z), z == 0 ? 1 : -expm1(-z) / z);
    check_near("exp near zero", n, bv_lane_exp_near(n), exp(n));
    check_near("exp", y, bv_lane_exp(y), exp(y));
  }
}
END_TEST

START_TEST(logarithms) {
  for (int i = 0; i <= STEPS; i++) {
    double x = between(2.0 / 3, 1.5, i), y = exp(between(-300, 300, i));
    check_near("log near one", x, bv_lane_log_near(x), log(x));
    ck_assert_double_eq_tol(bv_lane_log(y), log(y), 1e-12);
  }
}
END_TEST

START_TEST(turns) {
  for (int i = 0; i <= STEPS; i++) {
    double x = between(-0.5, 0.5, i), y = between(0, 8, i);
    bv_turn few = bv_lane_small_turn(x), many = bv_lane_turn(y);
    double half = sin(x / 2);
    check_near("small versine", x, few.versine, 2 * half * half);
    check_near("small sine", x, few.sine, sin(x));
    ck_assert_double_eq_tol(many.versine, 1 - cos(y), 1e-12);
    ck_assert_double_eq_tol(many.sine, sin(y), 1e-12);
  }
}
END_TEST

START_TEST(angles) {
  for (int i = 0; i <= STEPS; i++) {
    double x = between(0, 3 * BV_PI / 4, i), t = between(-0.414, 0.414, i);
    check_near("arc", x, bv_lane_arc(sin(x), cos(x)), x);
    check_near("angle", t, bv_lane_angle(t), atan(t));
  }
}
END_TEST

START_TEST(excesses) {
  for (int i = 1; i <= STEPS; i++) {
    double s = between(0.01, 0.172, i), y = sqrt(s), n = s * 0.04 / 0.172;
    check_near("excess", s, 1 + s * bv_lane_excess(s), atanh(y) / y);
    check_near("excess", -s, 1 - s * bv_lane_excess(-s), atan(y) / y);
    y = sqrt(n);
    check_near("near excess", n, 1 + n * bv_lane_excess_near(n), atanh(y) / y);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {exponentials, logarithms, turns,
                                angles,       excesses,   NULL};
  return check_main("model/lanes", tests);
}
