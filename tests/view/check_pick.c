/* SPDX-License-Identifier: MIT */
#include "view/pick.h"

#include "view/sample_front.h"

enum { ROWS = 101 };

static size_t all_rows[10001];

static bv_picked all(size_t count) {
  for (size_t i = 0; i < count; i++)
    all_rows[i] = i;
  return (bv_picked){all_rows, count};
}

/* Two lines that meet at (0.2, 0.2): the knee is the corner. */
static void fill_corner(double *values) {
  for (size_t i = 0; i < ROWS; i++) {
    double t = (double) i / (ROWS - 1);
    values[2 * i] = t < 0.5 ? 0.4 * t : 0.2 + 1.6 * (t - 0.5);
    values[2 * i + 1] = t < 0.5 ? 1 - 1.6 * t : 0.2 - 0.4 * (t - 0.5);
  }
}

START_TEST(the_height_is_the_distance_to_the_line) {
  double values[2 * ROWS], heights[ROWS];
  fill_corner(values);
  bv_front front = sample_objectives(values, ROWS, 2);
  ck_assert_int_eq(bv_pick_heights(&front, all(ROWS), heights, NULL), BV_OK);
  /* Das 1999: distance from x + y = 1, here (1 - 0.4) / sqrt(2). */
  check_close(heights[50], 0.6 / sqrt(2), 1e-12);
  ck_assert(fabs(heights[0]) < 1e-12 && fabs(heights[ROWS - 1]) < 1e-12);
  bv_front_free(&front);
}
END_TEST

/* Three objectives: the plane through the best row of each, which need not lie
 * on the axes. */
START_TEST(the_plane_goes_through_the_best_rows) {
  static const double values[] = {0, 1, 0.5, 1, 0,   0.5, 0.5, 0.5,
                                  0, 1, 1,   1, 0.3, 0.3, 0.3};
  double heights[5];
  bv_front front = sample_objectives(values, 5, 3);
  ck_assert_int_eq(bv_pick_heights(&front, all(5), heights, NULL), BV_OK);
  for (size_t i = 0; i < 3; i++)
    ck_assert(fabs(heights[i]) < 1e-12);
  /* The plane is x + y = 1; (1, 1, 1) lies beyond it. */
  check_close(heights[3], -1 / sqrt(2), 1e-12);
  check_close(heights[4], 0.4 / sqrt(2), 1e-12);
  bv_front_free(&front);
}
END_TEST

static size_t knees_of(const double *values, size_t rows, size_t objectives,
                       size_t *first) {
  bool is_knee[ROWS];
  size_t count = 0;
  bv_front front = sample_objectives(values, rows, objectives);
  ck_assert_int_eq(bv_pick_knees(&front, all(rows), is_knee, NULL), BV_OK);
  for (size_t i = rows; i-- > 0;)
    if (is_knee[i]) {
      *first = i;
      count++;
    }
  bv_front_free(&front);
  return count;
}

START_TEST(the_corner_is_the_knee_in_any_units) {
  double values[2 * ROWS];
  size_t knee = 0;
  fill_corner(values);
  ck_assert_uint_eq(knees_of(values, ROWS, 2, &knee), 1);
  ck_assert_uint_eq(knee, 50);
  for (size_t i = 0; i < ROWS; i++) {
    values[2 * i] = 1e-6 * values[2 * i] + 3;
    values[2 * i + 1] *= 1e6;
  }
  ck_assert_uint_eq(knees_of(values, ROWS, 2, &knee), 1);
  ck_assert_uint_eq(knee, 50);
}
END_TEST

/* Three lines with corners at (0.1, 0.55) and (0.55, 0.1). */
START_TEST(two_corners_are_two_knees) {
  double values[2 * 61];
  static const double corners[][2] = {{0, 1}, {0.1, 0.55}, {0.55, 0.1}, {1, 0}};
  for (size_t i = 0; i <= 60; i++) {
    size_t part = i < 60 ? i / 20 : 2;
    double t = (double) (i - 20 * part) / 20;
    for (size_t k = 0; k < 2; k++)
      values[2 * i + k] =
          corners[part][k] + t * (corners[part + 1][k] - corners[part][k]);
  }
  /* The part between the corners is as high as they are: lift its middle. */
  for (size_t i = 21; i < 40; i++)
    values[2 * i] += 0.003 * (double) (i < 30 ? i - 20 : 40 - i);
  size_t first = 0;
  ck_assert_uint_eq(knees_of(values, 61, 2, &first), 2);
  ck_assert_uint_eq(first, 20);
}
END_TEST

/* The peak at (0.62, 0.02) is less than half as high as that at (0.1, 0.1). */
START_TEST(a_low_peak_is_no_knee) {
  static const double values[] = {0,   1,     0.1,  0.1,  0.25, 0.098,
                                  0.6, 0.095, 0.62, 0.02, 1,    0};
  size_t first = 0;
  ck_assert_uint_eq(knees_of(values, 6, 2, &first), 1);
  ck_assert_uint_eq(first, 1);
}
END_TEST

START_TEST(fronts_without_a_knee_have_none) {
  static const double line[] = {0, 1, 0.5, 0.5, 1, 0};
  static const double one[] = {3, 1, 2};
  static const double alike[] = {1, 1, 1, 1, 1, 1};
  static const double empty[] = {(double) NAN, 1, (double) NAN, 2,
                                 (double) NAN, 3};
  size_t first;
  ck_assert_uint_eq(knees_of(line, 3, 2, &first), 0);
  ck_assert_uint_eq(knees_of(one, 3, 1, &first), 0);
  ck_assert_uint_eq(knees_of(empty, 3, 2, &first), 0);
  ck_assert_uint_le(knees_of(alike, 3, 2, &first), 1);
  ck_assert_uint_eq(knees_of(line, 0, 2, &first), 0);
}
END_TEST

/* Exact area below (1.1, 1.1) dominated by rows of a front that falls from left
 * to right; picked in rising order of the first objective. */
static double area(const double *values, const size_t *picked, size_t count) {
  double sum = 0, top = 1.1;
  for (size_t i = 0; i < count; i++) {
    const double *row = &values[2 * picked[i]];
    sum += (1.1 - row[0]) * (top - row[1]);
    top = row[1];
  }
  return sum;
}

/* A quarter of a circle: the three picked rows against the best of all 3-sets.
 * Greedy choice has at least 1 - 1/e of the best (G. L. Nemhauser et al. 1978);
 * here more is asked. */
START_TEST(best_rows_cover_nearly_as_much_as_the_best_set) {
  double values[2 * ROWS], most = 0;
  for (size_t i = 0; i < ROWS; i++) {
    double angle = acos(-1) / 2 * (double) i / (ROWS - 1);
    values[2 * i] = 1 - cos(angle);
    values[2 * i + 1] = 1 - sin(angle);
  }
  for (size_t a = 0; a < ROWS; a++)
    for (size_t b = a + 1; b < ROWS; b++)
      for (size_t c = b + 1; c < ROWS; c++)
        most = fmax(most, area(values, (size_t[]){a, b, c}, 3));
  bv_front front = sample_objectives(values, ROWS, 2);
  size_t chosen[3];
  ck_assert_int_eq(bv_pick_best(&front, all(ROWS), 3, chosen, NULL), BV_OK);
  for (size_t i = 0; i < 2; i++)
    for (size_t k = 0; k < 2; k++)
      if (chosen[k] > chosen[k + 1]) {
        size_t kept = chosen[k];
        chosen[k] = chosen[k + 1];
        chosen[k + 1] = kept;
      }
  ck_assert_msg(area(values, chosen, 3) > 0.97 * most, "%g of %g",
                area(values, chosen, 3), most);
  bv_front_free(&front);
}
END_TEST

START_TEST(all_rows_are_chosen_once_and_what_has_no_objective_comes_last) {
  static const double values[] = {2, 2, 0, 1, (double) NAN, 0, 1, 0, 0.4, 0.4};
  bv_front front = sample_objectives(values, 5, 2);
  size_t chosen[5];
  ck_assert_int_eq(bv_pick_best(&front, all(5), 9, chosen, NULL), BV_OK);
  static const size_t expected[] = {4, 1, 3, 0, 2};
  size_t sum = 0;
  for (size_t i = 0; i < 5; i++)
    sum |= (size_t) 1 << chosen[i];
  ck_assert_uint_eq(sum, 31);
  ck_assert_uint_eq(chosen[0], expected[0]);
  ck_assert_uint_eq(chosen[3], expected[3]);
  ck_assert_uint_eq(chosen[4], expected[4]);
  bv_front_free(&front);
}
END_TEST

START_TEST(maximised_objectives_are_turned_round) {
  static const double values[] = {0, 1, 1, 3, 0.4, 2.8};
  bv_front front = sample_objectives(values, 3, 2);
  front.column[1].role = BV_ROLE_MAXIMISE;
  size_t chosen[1];
  ck_assert_int_eq(bv_pick_best(&front, all(3), 1, chosen, NULL), BV_OK);
  ck_assert_uint_eq(chosen[0], 2);
  bv_front_free(&front);
}
END_TEST

/* A front of many rows takes no more than a moment (the test's own time limit
 * is far above; this is the size that users have). */
START_TEST(ten_thousand_rows_are_no_burden) {
  double *values = malloc(3 * 10000 * sizeof *values);
  for (size_t i = 0; i < 10000; i++) {
    double u = (double) (i % 100) / 99, v = (double) (i / 100) / 99;
    double a = acos(-1) / 2 * u, b = acos(-1) / 2 * v;
    values[3 * i] = 1 - cos(a) * cos(b);
    values[3 * i + 1] = 1 - sin(a) * cos(b);
    values[3 * i + 2] = 1 - sin(b);
  }
  bv_front front = sample_objectives(values, 10000, 3);
  bool *is_knee = calloc(10000, sizeof *is_knee);
  size_t chosen[12], knees = 0;
  ck_assert_int_eq(bv_pick_best(&front, all(10000), 12, chosen, NULL), BV_OK);
  ck_assert_int_eq(bv_pick_knees(&front, all(10000), is_knee, NULL), BV_OK);
  for (size_t i = 0; i < 10000; i++)
    knees += is_knee[i];
  ck_assert_uint_eq(knees, 1);
  free(is_knee);
  free(values);
  bv_front_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      the_height_is_the_distance_to_the_line,
      the_plane_goes_through_the_best_rows,
      the_corner_is_the_knee_in_any_units,
      two_corners_are_two_knees,
      a_low_peak_is_no_knee,
      fronts_without_a_knee_have_none,
      best_rows_cover_nearly_as_much_as_the_best_set,
      all_rows_are_chosen_once_and_what_has_no_objective_comes_last,
      maximised_objectives_are_turned_round,
      ten_thousand_rows_are_no_burden,
      NULL};
  return check_main("view/pick", tests);
}
