/* SPDX-License-Identifier: MIT */
/* The best rows against the plain rule, row by row. */
#include "run/best.h"

#include "base/random.h"
#include "check_main.h"

enum { COUNT = 1500 };

static double values[COUNT][BV_OBJECTIVES_MOST];
static bv_told told[COUNT];

/* Coarse values in every order, so that many are equal, and with a share of
 * them on a plane, where none dominates another. */
static void make_rows(size_t objectives, bv_candidate *rows) {
  bv_random random = bv_random_keyed(objectives, 0, 0);
  for (size_t i = 0; i < COUNT; i++) {
    double sum = 0;
    for (size_t j = 0; j < objectives; j++) {
      values[i][j] = floor(40 * bv_random_unit(&random));
      sum += values[i][j];
    }
    if (i % 3 == 0)
      values[i][objectives - 1] += 20 * (double) objectives - sum;
    told[i].objectives = values[i];
    rows[i] = (bv_candidate){.told = &told[i]};
  }
}

static bool covers(size_t a, size_t b, size_t objectives) {
  for (size_t j = 0; j < objectives; j++)
    if (values[a][j] > values[b][j])
      return false;
  return true;
}

static bool is_best(size_t row, size_t objectives) {
  for (size_t i = 0; i < COUNT; i++)
    if (i != row && covers(i, row, objectives) &&
        (i < row || !covers(row, i, objectives)))
      return false;
  return true;
}

START_TEST(what_no_other_dominates_is_kept) {
  static bv_candidate rows[COUNT];
  for (size_t m = 1; m <= BV_OBJECTIVES_MOST; m++) {
    make_rows(m, rows);
    size_t kept = bv_best(m, rows, COUNT), best = 0;
    for (size_t i = 0; i < COUNT; i++)
      if (is_best(i, m)) {
        ck_assert_uint_lt(best, kept);
        ck_assert_ptr_eq(rows[best++].told, &told[i]);
      }
    ck_assert_uint_eq(best, kept);
    ck_assert(m == 1 ? best == 1 : best > 1);
  }
}
END_TEST

START_TEST(no_rows_are_none) {
  ck_assert_uint_eq(bv_best(3, NULL, 0), 0);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {what_no_other_dominates_is_kept,
                                no_rows_are_none, NULL};
  return check_main("workers/best", tests);
}
