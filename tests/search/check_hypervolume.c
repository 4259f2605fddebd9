/* SPDX-License-Identifier: MIT */
#include "search/hypervolume.h"

#include <stdbool.h>

#include "base/random.h"
#include "check_main.h"

/* By definition: inclusion and exclusion over all subsets of a few points. */
static double by_inclusion(const double *points, size_t count, size_t m,
                           const double *reference) {
  double sum = 0;
  for (unsigned set = 1; set < 1u << count; set++) {
    double box = 1;
    for (size_t j = 0; j < m; j++) {
      double worst = -HUGE_VAL;
      for (size_t i = 0; i < count; i++)
        if (set >> i & 1)
          worst = fmax(worst, points[i * m + j]);
      box *= reference[j] - worst;
    }
    sum += __builtin_popcount(set) % 2 ? box : -box;
  }
  return sum;
}

START_TEST(agrees_with_inclusion_and_exclusion) {
  enum { COUNT = 9 };
  const double reference[] = {1.1, 1.2, 1, 1.3, 1, 1.1};
  bv_random random = bv_random_keyed(11, 0, 0);
  for (size_t m = 1; m <= 6; m++)
    for (int k = 0; k < 20; k++) {
      double points[COUNT * 6];
      for (size_t i = 0; i < COUNT * m; i++)
        points[i] = bv_random_unit(&random);
      check_close(bv_hypervolume(points, COUNT, m, reference),
                  by_inclusion(points, COUNT, m, reference), 1e-10);
    }
}
END_TEST

/* Of more than 500 points of four objectives within three standard deviations
 * (p is about a half here), of fewer to the bit. */
START_TEST(many_points_are_estimated) {
  enum { COUNT = 700, FEW = 400, M = 4 };
  static double points[COUNT * M];
  const double reference[] = {1.1, 1.1, 1.1, 1.1};
  bv_random random = bv_random_keyed(12, 0, 0);
  for (size_t i = 0; i < COUNT; i++) {
    double length = 0;
    for (size_t j = 0; j < M; j++) {
      points[i * M + j] = fabs(bv_random_normal(&random));
      length += points[i * M + j] * points[i * M + j];
    }
    for (size_t j = 0; j < M; j++)
      points[i * M + j] = 1 - points[i * M + j] / sqrt(length);
  }
  bv_volume few = bv_hypervolume_told(points, FEW, M, reference);
  ck_assert(!few.is_estimate);
  ck_assert_double_eq(few.value, bv_hypervolume(points, FEW, M, reference));
  bv_volume many = bv_hypervolume_told(points, COUNT, M, reference);
  ck_assert(many.is_estimate);
  check_close(many.value, bv_hypervolume(points, COUNT, M, reference), 0.03);
  ck_assert_double_eq(many.value,
                      bv_hypervolume_told(points, COUNT, M, reference).value);
}
END_TEST

START_TEST(points_outside_count_for_nothing) {
  const double points[] = {0.5, 0.5, 2, 0.1, 0.1, 1, 0.5, 0.5};
  const double reference[] = {1, 1};
  check_close(bv_hypervolume(points, 4, 2, reference), 0.25, 1e-15);
  ck_assert_double_eq(bv_hypervolume(points, 0, 2, reference), 0);
  ck_assert_double_eq(bv_hypervolume(points + 2, 1, 2, reference), 0);
}
END_TEST

START_TEST(a_corner_cut_out_of_a_cube) {
  /* The simplex lattice x + y + z = n of unit steps: below it lie all unit
   * cubes with i + j + k < n of a cube of side n + 1; counted directly. */
  enum { N = 6 };
  double points[28 * 3], reference[] = {N + 1, N + 1, N + 1};
  size_t count = 0;
  int expected = 0;
  for (int i = 0; i <= N; i++)
    for (int j = 0; j <= N; j++)
      for (int k = 0; k <= N; k++) {
        expected += i + j + k >= N;
        if (i + j + k != N)
          continue;
        points[3 * count] = i;
        points[3 * count + 1] = j;
        points[3 * count++ + 2] = k;
      }
  ck_assert_uint_eq(count, 28);
  ck_assert_double_eq(bv_hypervolume(points, count, 3, reference), expected);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      agrees_with_inclusion_and_exclusion, many_points_are_estimated,
      points_outside_count_for_nothing, a_corner_cut_out_of_a_cube, NULL};
  return check_main("search/hypervolume", tests);
}
