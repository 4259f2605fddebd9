/* SPDX-License-Identifier: MIT */
/* The quadratic model that solves go down on. */
#include "check_main.h"
#include "search/slopes.h"

enum { VARIABLES = 2, ROWS = 2, ROOM = 16 };

static const bv_variable box[VARIABLES] = {{.name = "x", .lo = 0, .hi = 1},
                                           {.name = "y", .lo = 0, .hi = 1}};
static const bv_problem problem = {
    .space = {box, VARIABLES}, .objectives = 1, .limits = 1};

/* 1 + 2 (x - 0.5) + 3 (x - 0.5)^2 - (y - 0.5), and 4 - (y - 0.5)^2. */
static void tell(double *numbers) {
  ck_assert_uint_le(bv_slopes_size(&problem), ROOM);
  bv_slopes s = bv_slopes_view(&problem, numbers);
  *s.known = 1;
  s.at[0] = s.at[1] = 0.5;
  s.values[0] = 1;
  s.values[1] = 4;
  s.matrix[0] = 2;
  s.matrix[1] = -1;
  s.curvatures[0] = 6;
  s.curvatures[3] = -2;
}

static const double there[] = {0.7, 0.2};

static void check_model(const bv_slopes *s) {
  check_close(bv_slopes_value(s, 0, there), 1 + 0.4 + 0.12 + 0.3, 1e-12);
  check_close(bv_slopes_value(s, 1, there), 4 - 0.09, 1e-12);
  check_close(bv_slopes_along(s, 0, 0, there), 2 + 6 * 0.2, 1e-12);
  check_close(bv_slopes_along(s, 0, 1, there), -1, 1e-12);
  check_close(bv_slopes_along(s, 1, 1, there), 2 * 0.3, 1e-12);
}

START_TEST(it_foresees_values_and_slopes) {
  double numbers[ROOM] = {0};
  tell(numbers);
  bv_slopes s = bv_slopes_view(&problem, numbers);
  check_model(&s);
  ck_assert_uint_eq((size_t) (s.curvatures - numbers),
                    bv_slopes_size_flat(&problem));
}
END_TEST

/* A model without error is the same wherever it stands. */
START_TEST(moving_keeps_a_true_model) {
  double numbers[ROOM] = {0};
  const double elsewhere[] = {0.1, 0.9};
  tell(numbers);
  bv_slopes s = bv_slopes_view(&problem, numbers);
  double values[ROWS];
  for (size_t r = 0; r < ROWS; r++)
    values[r] = bv_slopes_value(&s, r, elsewhere);
  bv_slopes_explain(&s, elsewhere, values);
  bv_slopes_move(&s, elsewhere, values);
  ck_assert_double_eq(s.at[0], 0.1);
  check_model(&s);
}
END_TEST

/* The least change of two slopes is along the step, (0.2, -0.3). */
START_TEST(what_was_missed_is_explained) {
  double numbers[ROOM] = {0};
  tell(numbers);
  bv_slopes s = bv_slopes_view(&problem, numbers);
  double values[ROWS] = {bv_slopes_value(&s, 0, there) + 0.13,
                         bv_slopes_value(&s, 1, there)};
  bv_slopes_explain(&s, there, values);
  check_close(bv_slopes_value(&s, 0, there), values[0], 1e-12);
  check_close(s.matrix[0], 2 + 0.2, 1e-12);
  check_close(s.matrix[1], -1 - 0.3, 1e-12);
  check_close(bv_slopes_value(&s, 1, there), values[1], 1e-12);
  /* Nothing can be learned of slopes where no step was made. */
  bv_slopes_explain(&s, s.at, (const double[]){9, 9});
  check_close(s.matrix[0], 2 + 0.2, 1e-12);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {it_foresees_values_and_slopes,
                                moving_keeps_a_true_model,
                                what_was_missed_is_explained, NULL};
  return check_main("search/slopes", tests);
}
