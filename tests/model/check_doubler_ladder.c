/* SPDX-License-Identifier: MIT */
#include "check_main.h"
#include "model/doubler_ladder.h"

/* The columns by hand: of k stages the capacitor j of the output column gives
 * (k + 1 - j) charges a cycle, and the drop of stage j is twice the sum of such
 * charges above it less what the lowest capacitor of the other column saves. */
static double drop_by_sum(int k) {
  double sum = 0;
  for (int j = 1; j <= k; j++)
    for (int m = j; m <= k; m++)
      sum += 2 * m;
  return sum - k * (k + 1) / 2.0;
}

static double ripple_by_sum(int k) {
  double sum = 0;
  for (int j = 1; j <= k; j++)
    sum += j;
  return sum;
}

START_TEST(sums_of_charges) {
  for (int k = 1; k <= 8; k++) {
    check_close(bv_ladder_drop(k, 1e-3, 5e4, 1e-9), 20 * drop_by_sum(k), 1e-12);
    check_close(bv_ladder_ripple(k, 1e-3, 5e4, 1e-9), 20 * ripple_by_sum(k),
                1e-12);
  }
}
END_TEST

START_TEST(efficiency_falls_with_stages) {
  double last = 1;
  for (int k = 1; k <= 8; k++) {
    double now = bv_ladder_efficiency(5000, k, 1e-3, 5e4, 1e-9);
    ck_assert(now < last && now > 0);
    last = now;
  }
  ck_assert(bv_ladder_output(100, 20, 1e-3, 5e4, 1e-9) == 0);
}
END_TEST

START_TEST(out_of_range) {
  ck_assert(isnan(bv_ladder_drop(0, 1e-3, 5e4, 1e-9)));
  ck_assert(isnan(bv_ladder_drop(1.5, 1e-3, 5e4, 1e-9)));
  ck_assert(isnan(bv_ladder_ripple(2, 1e-3, 0, 1e-9)));
  ck_assert(isnan(bv_ladder_output(100, 2, 1e-3, 5e4, -1)));
}
END_TEST

int main(void) {
  const TTest *const tests[] = {sums_of_charges, efficiency_falls_with_stages,
                                out_of_range, NULL};
  return check_main("model/doubler_ladder", tests);
}
