/* SPDX-License-Identifier: MIT */
#include "base/quadrature.h"
#include "base/random.h"
#include "base/root.h"

#include "check_main.h"

/* A rule of n points is exact for polynomials up to degree 2n - 1. */
START_TEST(quadrature_is_exact_for_its_degree_and_not_beyond) {
  static const size_t counts[] = {2, 4, 6, 8, 12, 16};
  for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
    bv_quadrature rule = bv_quadrature_rule(counts[i]);
    ck_assert_uint_eq(rule.count, counts[i]);
    for (int degree = 0; degree <= (int) (2 * counts[i]); degree += 2) {
      double sum = 0;
      for (size_t k = 0; k < rule.count; k++)
        sum += rule.weights[k] * pow(rule.nodes[k], degree);
      double error = fabs(sum - 2.0 / (degree + 1));
      if (degree < (int) (2 * counts[i]))
        ck_assert_msg(error < 1e-14, "%zu points, degree %d: error %g",
                      counts[i], degree, error);
      else if (counts[i] <= 8)
        ck_assert_msg(error > 1e-9, "%zu points can't be exact for %d",
                      counts[i], degree);
    }
  }
}
END_TEST

/* Its nodes and weights are the only ones with 3 nodes of Gauss among 7 that
 * are exact to degree 11 (A. S. Kronrod, 1965). */
START_TEST(kronrod_extends_the_rule_of_three_points) {
  bv_kronrod rule = bv_quadrature_kronrod();
  for (int degree = 0; degree <= 12; degree++) {
    double outer = 0, inner = 0, exact = degree % 2 ? 0 : 2.0 / (degree + 1);
    for (size_t k = 0; k < rule.count; k++) {
      outer += rule.weights[k] * pow(rule.nodes[k], degree);
      inner += rule.inner[k] * pow(rule.nodes[k], degree);
    }
    ck_assert_msg((fabs(outer - exact) < 1e-15 * 8) == (degree < 12),
                  "degree %d: error %g", degree, outer - exact);
    ck_assert_msg((fabs(inner - exact) < 1e-15 * 8) ==
                      (degree < 6 || degree % 2 == 1),
                  "3 points, degree %d: error %g", degree, inner - exact);
  }
}
END_TEST

/* M. Abramowitz, I. Stegun, Handbook of Mathematical Functions, table 25.4,
 * n = 6. */
START_TEST(quadrature_has_the_handbook_nodes) {
  bv_quadrature rule = bv_quadrature_rule(5);
  ck_assert_uint_eq(rule.count, 6);
  ck_assert_double_eq_tol(rule.nodes[5], 0.932469514203152, 1e-15);
  ck_assert_double_eq_tol(rule.nodes[3], 0.238619186083197, 1e-15);
  ck_assert_double_eq_tol(rule.weights[3], 0.467913934572691, 1e-15);
}
END_TEST

static double cubic(double x, const void *context) {
  return x * x * x - *(const double *) context;
}

static double broken(double x, const void *context) {
  (void) context;
  return x > 0.5 ? (double) NAN : -1;
}

START_TEST(roots_are_found_inside_a_bracket_only) {
  double two = 2, x = 0;
  ck_assert(bv_root_find(cubic, &two, 0, 1000, 1e-13, &x));
  check_close(x, cbrt(2), 1e-12);
  ck_assert(bv_root_find(cubic, &two, 1000, 0, 1e-13, &x));
  check_close(x, cbrt(2), 1e-12);
  ck_assert(!bv_root_find(cubic, &two, 2, 3, 1e-12, &x));
  ck_assert(!bv_root_find(broken, NULL, 0, 1, 1e-12, &x));
  double zero = 0;
  ck_assert(bv_root_find(cubic, &zero, 0, 1, 1e-12, &x));
  ck_assert_double_eq(x, 0);
}
END_TEST

/* First outputs of xoshiro256++ from the state 1, 2, 3, 4, as the public
 * reference implementation gives them (values from memory). */
START_TEST(random_bits_follow_the_published_generator) {
  bv_random random = {{1, 2, 3, 4}};
  ck_assert_uint_eq(bv_random_bits(&random), 41943041u);
  ck_assert_uint_eq(bv_random_bits(&random), 58720359u);
  ck_assert_uint_eq(bv_random_bits(&random), 3588806011781223u);
  ck_assert_uint_eq(bv_random_bits(&random), 3591011842654386u);
}
END_TEST

START_TEST(streams_of_neighbouring_keys_share_nothing) {
  enum { KEYS = 64, DRAWS = 256 };
  static uint64_t seen[KEYS * DRAWS];
  size_t count = 0;
  for (uint64_t key = 0; key < KEYS; key++) {
    bv_random random = bv_random_keyed(key / 16, key / 4 % 4, key % 4);
    for (int draw = 0; draw < DRAWS; draw++) {
      uint64_t bits = bv_random_bits(&random);
      for (size_t i = 0; i < count && draw == 0; i++)
        ck_assert_uint_ne(seen[i], bits);
      seen[count++] = bits;
    }
  }
}
END_TEST

START_TEST(random_numbers_are_uniform_and_normal) {
  enum { DRAWS = 200000, BINS = 20 };
  bv_random random = bv_random_keyed(7, 0, 0);
  int bins[BINS] = {0}, whole[3] = {0};
  double sum = 0, square = 0;
  for (int i = 0; i < DRAWS; i++) {
    double unit = bv_random_unit(&random);
    ck_assert(unit >= 0 && unit < 1);
    bins[(int) (unit * BINS)]++;
    whole[bv_random_below(&random, 3)]++;
    double normal = bv_random_normal(&random);
    sum += normal;
    square += normal * normal;
  }
  /* chi-square with 19 degrees of freedom stays below 43.8 with p = .999 */
  double chi_square = 0;
  for (int i = 0; i < BINS; i++)
    chi_square += pow(bins[i] - DRAWS / BINS, 2) / (DRAWS / BINS);
  ck_assert_double_lt(chi_square, 43.8);
  for (int i = 0; i < 3; i++)
    ck_assert_double_eq_tol(whole[i] / (double) DRAWS, 1.0 / 3, 0.005);
  ck_assert_double_eq_tol(sum / DRAWS, 0, 0.01);
  ck_assert_double_eq_tol(square / DRAWS, 1, 0.02);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      quadrature_is_exact_for_its_degree_and_not_beyond,
      quadrature_has_the_handbook_nodes,
      kronrod_extends_the_rule_of_three_points,
      roots_are_found_inside_a_bracket_only,
      random_bits_follow_the_published_generator,
      streams_of_neighbouring_keys_share_nothing,
      random_numbers_are_uniform_and_normal,
      NULL};
  return check_main("base/numerics", tests);
}
