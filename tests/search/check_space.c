/* SPDX-License-Identifier: MIT */
#include "search/space.h"

#include "check_main.h"

#define EVERY(list) (size_t i = 0; i < sizeof(list) / sizeof *(list); i++)

static const bv_variable variables[] = {
    {.name = "real", .scale = BV_SCALE_REAL, .lo = -2, .hi = 3},
    {.name = "log", .scale = BV_SCALE_LOG, .lo = 1e-6, .hi = 1e3},
    {.name = "whole", .scale = BV_SCALE_WHOLE, .lo = 1, .hi = 6},
    {.name = "step", .scale = BV_SCALE_STEP, .lo = 0.1, .hi = 0.7, .step = 0.1},
    {.name = "choice", .scale = BV_SCALE_CHOICE, .lo = 0, .hi = 999},
    {.name = "ordered", .scale = BV_SCALE_ORDERED, .lo = 0, .hi = 0},
};

START_TEST(levels_are_counted) {
  static const size_t expected[] = {0, 0, 6, 7, 1000, 1};
  for
    EVERY(variables)
  ck_assert_uint_eq(bv_variable_levels(&variables[i]), expected[i]);
}
END_TEST

START_TEST(units_decode_into_the_range_and_back) {
  for
    EVERY(variables) {
      const bv_variable *v = &variables[i];
      for (double unit = -0.5; unit <= 1.5; unit += 1.0 / 64) {
        double value = bv_variable_decode(v, unit);
        ck_assert_msg(value >= v->lo - 1e-12 && value <= v->hi + 1e-12,
                      "%s: %g decodes to %g", v->name, unit, value);
        ck_assert_double_eq(bv_variable_snap(v, value), value);
        double again = bv_variable_decode(v, bv_variable_encode(v, value));
        ck_assert_msg(fabs(again - value) <= 1e-12 * fabs(value), "%s: %g, %g",
                      v->name, value, again);
      }
    }
}
END_TEST

START_TEST(ends_are_met_exactly) {
  for
    EVERY(variables) {
      const bv_variable *v = &variables[i];
      double last = v->scale == BV_SCALE_STEP ? 0.1 + 6 * 0.1 : v->hi;
      ck_assert_double_eq(bv_variable_decode(v, 0), v->lo);
      ck_assert_double_eq(bv_variable_decode(v, 1), last);
    }
}
END_TEST

START_TEST(levels_share_the_unit_equally) {
  const bv_variable *whole = &variables[2];
  int counts[7] = {0};
  for (int i = 0; i < 6000; i++)
    counts[(int) bv_variable_decode(whole, (i + 0.5) / 6000)]++;
  for (int level = 1; level <= 6; level++)
    ck_assert_int_eq(counts[level], 1000);
}
END_TEST

START_TEST(values_snap_to_the_nearest_level) {
  ck_assert_double_eq(bv_variable_snap(&variables[2], 3.4), 3);
  ck_assert_double_eq(bv_variable_snap(&variables[2], 99), 6);
  ck_assert_double_eq(bv_variable_snap(&variables[3], 0.26), 0.1 + 2 * 0.1);
  ck_assert_double_eq(bv_variable_snap(&variables[0], -7), -2);
}
END_TEST

static void refused(bv_variable variable, const char *words) {
  bv_error error = {0};
  bv_space space = {&variable, 1};
  variable.name = "width";
  ck_assert_int_eq(bv_space_check(&space, &error), BV_BAD_DATA);
  ck_assert_msg(strstr(error.text, words) && strstr(error.text, "width"), "%s",
                error.text);
}

START_TEST(bad_variables_are_refused) {
  refused((bv_variable){.lo = 2, .hi = 1}, "lo <= hi, found 2");
  refused((bv_variable){.lo = nan(""), .hi = 1}, "finite range");
  refused((bv_variable){.lo = 0, .hi = HUGE_VAL}, "finite range");
  refused((bv_variable){.lo = -1e308, .hi = 1e308}, "width is a number");
  refused((bv_variable){.scale = BV_SCALE_LOG, .lo = 1e-200, .hi = 1e200},
          "width is a number");
  refused((bv_variable){.scale = BV_SCALE_LOG, .lo = 0, .hi = 1},
          "positive range");
  refused((bv_variable){.scale = BV_SCALE_STEP, .hi = 1}, "step above 0");
  refused((bv_variable){.scale = BV_SCALE_WHOLE, .lo = 0.2, .hi = 0.8},
          "whole number in the range");
  refused((bv_variable){.scale = BV_SCALE_WHOLE, .hi = 1e9}, "at most 1000000");
  bv_error error;
  ck_assert_int_eq(bv_space_check(&(bv_space){variables, 0}, &error),
                   BV_BAD_DATA);
  ck_assert_int_eq(bv_space_check(&(bv_space){variables, 6}, &error), BV_OK);
}
END_TEST

START_TEST(sizes_multiply) {
  ck_assert_double_eq(bv_space_size(&(bv_space){variables + 2, 4}), 42000);
  ck_assert(isinf(bv_space_size(&(bv_space){variables, 6})));
}
END_TEST

int main(void) {
  const TTest *const tests[] = {levels_are_counted,
                                units_decode_into_the_range_and_back,
                                ends_are_met_exactly,
                                levels_share_the_unit_equally,
                                values_snap_to_the_nearest_level,
                                bad_variables_are_refused,
                                sizes_multiply,
                                NULL};
  return check_main("search/space", tests);
}
