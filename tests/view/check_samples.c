/* SPDX-License-Identifier: MIT */
/* Samples counted as bits against samples counted one by one. */
#include "view/samples.h"

#include <string.h>

#include "base/random.h"
#include "check_main.h"

enum { MOST = 8, ROWS = 60 };

static double sample[BV_SAMPLES][MOST];

static size_t count(const double *row, size_t objectives, bool *covered) {
  size_t found = 0;
  for (size_t s = 0; s < BV_SAMPLES; s++) {
    bool is = !covered[s];
    for (size_t j = 0; j < objectives; j++)
      is = is && row[j] <= sample[s][j];
    found += is;
  }
  return found;
}

static void compare(size_t objectives) {
  bool covered[BV_SAMPLES] = {false};
  bv_samples points;
  bv_random drawn = bv_random_keyed(1, 0, 0), rows = bv_random_keyed(2, 0, 0);
  for (size_t s = 0; s < BV_SAMPLES; s++)
    for (size_t j = 0; j < objectives; j++)
      sample[s][j] = 1.1 * bv_random_unit(&drawn);
  ck_assert(bv_samples_make(objectives, &points));
  size_t some = 0;
  for (size_t i = 0; i < ROWS; i++) {
    double row[MOST];
    for (size_t j = 0; j < objectives; j++)
      row[j] = i % 7 == 0 ? sample[i][j] : bv_random_unit(&rows);
    size_t expected = count(row, objectives, covered);
    ck_assert_uint_eq(bv_samples_covered(&points, row), expected);
    some += expected > 0;
    if (i % 3 > 0)
      continue;
    bv_samples_drop(&points, row);
    for (size_t s = 0; s < BV_SAMPLES; s++) {
      bool is = true;
      for (size_t j = 0; j < objectives; j++)
        is = is && row[j] <= sample[s][j];
      covered[s] = covered[s] || is;
    }
    ck_assert_uint_eq(bv_samples_covered(&points, row), 0);
  }
  ck_assert_uint_gt(some, 3);
  bv_samples_free(&points);
}

START_TEST(bits_count_what_one_by_one_counts) {
  for (size_t objectives = 1; objectives <= MOST; objectives++)
    compare(objectives);
}
END_TEST

START_TEST(without_objectives_there_is_nothing_to_cover) {
  bv_samples points;
  ck_assert(bv_samples_make(0, &points));
  ck_assert_uint_eq(bv_samples_covered(&points, NULL), 0);
  bv_samples_free(&points);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {bits_count_what_one_by_one_counts,
                                without_objectives_there_is_nothing_to_cover,
                                NULL};
  return check_main("view/samples", tests);
}
