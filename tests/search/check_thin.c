/* SPDX-License-Identifier: MIT */
#include "search/thin.h"

#include "base/random.h"
#include "check_main.h"
#include "search/hypervolume.h"

enum { COUNT = 2000, MOST = 40 };

/* A quarter circle towards the origin, most points crowded at one end. */
static void crowded_front(double *points) {
  bv_random random = bv_random_keyed(1, 0, 0);
  for (size_t i = 0; i < COUNT; i++) {
    double a = pow(bv_random_unit(&random), 4) * 1.57079632679;
    points[2 * i] = 1 - cos(a);
    points[2 * i + 1] = 1 - sin(a);
  }
}

static double volume_of(const double *points, const bool *keep) {
  const double reference[] = {1.1, 1.1};
  double kept[2 * COUNT];
  size_t count = 0;
  for (size_t i = 0; i < COUNT; i++)
    if (keep[i]) {
      kept[2 * count] = points[2 * i];
      kept[2 * count++ + 1] = points[2 * i + 1];
    }
  return bv_hypervolume(kept, count, 2, reference);
}

START_TEST(few_points_keep_the_hypervolume) {
  static double points[2 * COUNT];
  bool keep[COUNT], all[COUNT], every[COUNT];
  size_t count = 0;
  crowded_front(points);
  bv_thin_points(points, COUNT, 2, MOST, keep);
  for (size_t i = 0; i < COUNT; i++) {
    all[i] = true;
    every[i] = i % (COUNT / MOST) == 0;
    count += keep[i];
  }
  ck_assert_uint_eq(count, MOST);
  double share = volume_of(points, keep) / volume_of(points, all);
  /* 40 points evenly along the curve lose about 1 / 80 of the area near it. */
  ck_assert_msg(share > 0.98 && share < 1, "%g", share);
  ck_assert_double_gt(share, volume_of(points, every) / volume_of(points, all));
}
END_TEST

START_TEST(ends_and_knee_stay) {
  const double points[] = {0, 1, 0.05, 0.94, 0.2, 0.2, 0.5, 0.16, 1, 0};
  bool keep[5];
  bv_thin_points(points, 5, 2, 3, keep);
  ck_assert(keep[0] && !keep[1] && keep[2] && !keep[3] && keep[4]);
  bv_thin_points(points, 5, 2, 1, keep);
  ck_assert(keep[0] + keep[1] + keep[2] + keep[3] + keep[4] == 1);
  bv_thin_points(points, 5, 2, 0, keep);
  ck_assert(keep[0] + keep[1] + keep[2] + keep[3] + keep[4] == 0);
  bv_thin_points(points, 5, 2, 9, keep);
  ck_assert(keep[0] + keep[1] + keep[2] + keep[3] + keep[4] == 5);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {few_points_keep_the_hypervolume,
                                ends_and_knee_stay, NULL};
  return check_main("search/thin", tests);
}
