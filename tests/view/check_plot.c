/* SPDX-License-Identifier: MIT */
#include "view/plot.h"

#include "sample.h"

enum { ROWS = 60 };

/* Rows on a curve with a knee, a column of texts and one of few numbers. */
static bv_front curve(void) {
  static const char *const names[] = {"row", "time", "loss", "kind", "size"};
  static const char *const units[] = {"", "s", "J", "", "m3"};
  static const bv_role roles[] = {BV_ROLE_ID, BV_ROLE_MINIMISE,
                                  BV_ROLE_MINIMISE, BV_ROLE_VARIABLE,
                                  BV_ROLE_RESULT};
  static const char *const kinds[] = {"a<b", "two", "three", "four", "five"};
  static const size_t kind_of[] = {0, 1, 2, 3, 4, 3, 0, 3, 4, 4, 4, 0};
  bv_front front;
  ck_assert_int_eq(bv_front_make(&front, 5, ROWS, NULL), BV_OK);
  for (size_t c = 0; c < 5; c++)
    sample_name(&front.column[c], names[c], units[c], roles[c]);
  front.column[3].is_text = true;
  for (size_t r = 0; r < ROWS; r++) {
    double time = 1 + 0.05 * (double) r;
    bv_front_value(&front, r, 0)->number = 100 + (double) r;
    bv_front_value(&front, r, 1)->number = time;
    bv_front_value(&front, r, 2)->number = 30 / pow(time, 4);
    bv_front_value(&front, r, 3)->text = strdup(kinds[kind_of[r % 12]]);
    bv_front_value(&front, r, 4)->number = r % 3 == 0 ? 1e-6 : 2e-6;
  }
  return front;
}

static size_t count(const char *text, const char *part) {
  size_t found = 0;
  for (; (text = strstr(text, part)) != NULL; text++)
    found++;
  return found;
}

static bv_buffer draw(const bv_front *front, bv_plot_options options) {
  bv_buffer out = {0};
  bv_error error;
  ck_assert_msg(bv_plot_draw(front, &options, &out, &error) == BV_OK, "%s",
                error.text);
  return out;
}

START_TEST(objectives_are_the_axes_and_knees_are_marked) {
  bv_front front = curve();
  bv_buffer out = draw(&front, (bv_plot_options){NULL, NULL, NULL});
  size_t knees = count(out.text, "bv-mark bv-m3\"") - 1;
  ck_assert(knees >= 1 && knees <= 3);
  /* One mark a row, and one each for "rows" and "knee" in the legend. */
  ck_assert_uint_eq(count(out.text, "\"bv-mark "), ROWS + 2);
  ck_assert_uint_eq(count(out.text, ">time, s<"), 1);
  ck_assert_uint_eq(count(out.text, ">loss, J<"), 1);
  ck_assert_uint_eq(count(out.text,
                          "60 rows, time from 1.00 s to 3.95 s, "
                          "loss from 123 mJ to 30.0 J. Knees: rows 1"),
                    1);
  ck_assert_uint_eq(count(out.text, "nan"), 0);
  bv_buffer_free(&out);
  bv_front_free(&front);
}
END_TEST

START_TEST(texts_and_numbers_make_groups) {
  bv_front front = curve();
  bv_buffer out = draw(&front, (bv_plot_options){"time", "loss_J", "kind"});
  /* Those of most rows have marks of their own. */
  ck_assert_uint_eq(count(out.text, ">a&lt;b<"), 1);
  ck_assert_uint_eq(count(out.text, ">four<"), 1);
  ck_assert_uint_eq(count(out.text, ">five<"), 1);
  ck_assert_uint_eq(count(out.text, ">two<"), 0);
  ck_assert_uint_eq(count(out.text, ">other<"), 1);
  ck_assert_uint_eq(count(out.text, "\"bv-mark "), ROWS + 5);
  size_t marked = count(out.text, "bv-mark bv-m3\"");
  ck_assert_uint_gt(marked, 1);
  ck_assert_uint_gt(count(out.text, "bv-mark bv-m4\""), 1); /* other */
  bv_buffer_free(&out);
  out = draw(&front, (bv_plot_options){"time", "loss", "size"});
  ck_assert_uint_eq(count(out.text, ">size up to 1.00 cm³<"), 1);
  ck_assert_uint_eq(count(out.text, ">up to 2.00 cm³<"), 1);
  ck_assert_uint_eq(count(out.text, "\"bv-mark "), ROWS + 3);
  size_t knees = count(out.text, "bv-mark bv-m3\"") - 1;
  ck_assert_uint_eq(knees + 1, marked); /* one look, whatever the groups */
  size_t small = count(out.text, "bv-mark bv-m0\"") - 1;
  ck_assert(small <= 20 && small + knees >= 20);
  bv_buffer_free(&out);
  bv_front_free(&front);
}
END_TEST

/* Long names leave room for each other and for the label of the axis. */
START_TEST(a_legend_stays_in_the_picture) {
  static const char longest[] =
      "a\xc3\xa4 name of some part that is far too long for any legend";
  bv_front front = curve();
  for (size_t r = 0; r < ROWS; r++) {
    char **text = &bv_front_value(&front, r, 3)->text;
    free(*text);
    ck_assert(asprintf(text, "%zu%s", r % 4, longest) > 0);
  }
  bv_buffer out = draw(&front, (bv_plot_options){"time", "loss_J", "kind"});
  double x, least = 760;
  for (const char *at = out.text; (at = strstr(at, "y=\"16.0\"")); at++)
    if (sscanf(at - 14, "%*[^\"]\"%lf", &x) == 1 && x != 8)
      least = fmin(least, x);
  ck_assert_msg(least > 8 + 7 * strlen("loss, J") + 20 && least < 300, "%g",
                least);
  ck_assert_uint_eq(count(out.text, "any legend</title>"), 3);
  ck_assert_uint_eq(count(out.text, ">0a\xc3\xa4 name"), 2);
  ck_assert_uint_eq(count(out.text, "\xe2\x80\xa6</text>"), 3);
  bv_buffer_free(&out);
  bv_front_free(&front);
}
END_TEST

START_TEST(rows_without_numbers_are_left_out) {
  bv_front front = curve();
  bv_front_value(&front, 30, 1)->number = (double) NAN;
  bv_front_value(&front, 31, 4)->number = (double) NAN;
  bv_buffer out = draw(&front, (bv_plot_options){"time", "loss", "size"});
  ck_assert_uint_eq(count(out.text, "\"bv-mark "), ROWS - 1 + 3);
  bv_buffer_free(&out);
  front.rows = 0;
  out = draw(&front, (bv_plot_options){"time", "loss", "size"});
  ck_assert_uint_eq(count(out.text, "</svg>"), 1);
  bv_buffer_free(&out);
  front.rows = ROWS;
  bv_front_free(&front);
}
END_TEST

static void refused(const bv_front *front, bv_plot_options options,
                    const char *text) {
  bv_buffer out = {0};
  bv_error error;
  ck_assert_int_eq(bv_plot_draw(front, &options, &out, &error), BV_USAGE);
  ck_assert_msg(strstr(error.text, text) != NULL, "%s", error.text);
  ck_assert_uint_eq(out.length, 0);
}

START_TEST(wrong_columns_are_told) {
  bv_front front = curve();
  refused(&front, (bv_plot_options){"tim", "loss", NULL}, "time");
  refused(&front, (bv_plot_options){"time", "kind", NULL}, "kind holds texts");
  refused(&front, (bv_plot_options){NULL, NULL, "sise"}, "size");
  front.column[2].role = BV_ROLE_RESULT;
  refused(&front, (bv_plot_options){NULL, NULL, NULL}, "fewer than two");
  bv_front_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {objectives_are_the_axes_and_knees_are_marked,
                                texts_and_numbers_make_groups,
                                a_legend_stays_in_the_picture,
                                rows_without_numbers_are_left_out,
                                wrong_columns_are_told,
                                NULL};
  return check_main("plot", tests);
}
