/* SPDX-License-Identifier: MIT */
/* Hopes against the definition: the least lead over any of the last ones. */
#include "search/hopes.h"

#include "base/random.h"
#include "check_main.h"
#include "search/problem.h"

enum { ADDED = 1000, MOST = 4 };

static double lead_over_all(double (*hopes)[MOST], size_t count, size_t m,
                            const double *f, const double *scale) {
  double least = HUGE_VAL;
  for (size_t i = count < BV_HOPES ? 0 : count - BV_HOPES; i < count; i++) {
    double lead = -HUGE_VAL;
    for (size_t j = 0; j < m; j++)
      lead = fmax(lead, (hopes[i][j] - f[j]) / scale[j]);
    least = fmin(least, lead);
  }
  return least;
}

/* Whole numbers of tenths, so that many are equal. */
static void draw(bv_random *random, size_t m, double *f) {
  for (size_t j = 0; j < m; j++)
    f[j] = (double) bv_random_below(random, 30) / 10;
}

static double lead_over_hopes(const bv_hopes *hopes, const double *f,
                              const double *scale) {
  bv_ahead ahead = bv_ahead_begin(f, scale, hopes->objectives, HUGE_VAL);
  bv_hopes_lower(hopes, bv_hopes_first(hopes), &ahead);
  return ahead.lead;
}

static void compare(size_t m) {
  static double all[ADDED][MOST];
  const double scale[MOST] = {1, 2, 0.5, 1};
  double f[MOST];
  size_t ahead = 0;
  bv_random random = bv_random_keyed(3, m, 0);
  bv_hopes hopes;
  bv_hopes_init(&hopes, m);
  ck_assert_double_eq(lead_over_hopes(&hopes, scale, scale), HUGE_VAL);
  for (size_t i = 0; i < ADDED; i++) {
    draw(&random, m, all[i]);
    bv_hopes_add(&hopes, all[i]);
    draw(&random, m, f);
    for (size_t j = 0; j < m; j++)
      f[j] -= 2;
    double expected = lead_over_all(all, i + 1, m, f, scale);
    double lead = lead_over_hopes(&hopes, f, scale);
    ahead += lead > 0;
    ck_assert(expected > 0 ? lead == expected : lead <= 0);
  }
  ck_assert_uint_gt(ahead, 10);
  bv_hopes_free(&hopes);
}

START_TEST(lead_is_that_over_the_last_ones) {
  for (size_t m = 1; m <= MOST; m++)
    compare(m);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {lead_is_that_over_the_last_ones, NULL};
  return check_main("search/hopes", tests);
}
