/* SPDX-License-Identifier: MIT */
#include "view/svg.h"

#include <stdio.h>
#include <string.h>

#include "check_main.h"
#include "golden.h"
#include "view/axis.h"
#include "view/html.h"

enum { MANY = 121 };

/* Two panels, three looks, marks, a gap, a logarithmic axis, hostile texts. */
static void draw(bv_buffer *out, bool alone) {
  double time[MANY], voltage[MANY], low[MANY], high[MANY];
  for (int i = 0; i < MANY; i++) {
    time[i] = i * 0.012;
    voltage[i] = 1500 * sqrt(i / (MANY - 1.0));
    low[i] = i >= 40 && i < 50 ? (double) NAN : 2e3 * pow(1.03, i);
    high[i] = 1.7 * low[i];
  }
  double points[2][3] = {{0.2, 0.7, 1.2}, {4e4, 5e3, 9e4}};
  bv_series first[] = {{"voltage", time, voltage, MANY, false, 1, 0}};
  bv_series second[] = {{"lowest", time, low, MANY, false, 1, 0},
                        {"highest", time, high, MANY, false, 1, 0},
                        {"seen", points[0], points[1], 3, true, 1, 0}};
  bv_panel panels[] = {{{"output <b>", "V", false, true}, first, 1},
                       {{"frequency", "Hz", true, false}, second, 3}};
  bv_chart chart = {.id = "test",
                    .title = "Charge & \"curve\"",
                    .description = "]]></desc><script>alert(1)</script>",
                    .x = {"time", "s", false, true},
                    .panels = panels,
                    .count = 2,
                    .width = 720,
                    .panel_height = 150};
  bv_svg_chart(out, &chart, alone);
}

static size_t count(const char *text, const char *part) {
  size_t found = 0;
  for (; (text = strstr(text, part)) != NULL; text++)
    found++;
  return found;
}

START_TEST(draws_the_golden_chart) {
  bv_buffer out = {0};
  draw(&out, true);
  golden_check("chart.svg", &out);
  bv_buffer_free(&out);
}
END_TEST

START_TEST(has_the_structure_of_a_chart) {
  bv_buffer out = {0};
  draw(&out, false);
  const char *text = out.text;
  ck_assert_uint_eq(count(text, "<svg"), 1);
  ck_assert_uint_eq(count(text, "xmlns"), 0);
  ck_assert_uint_eq(count(text, "<style"), 0);
  ck_assert_uint_eq(count(text, "<script"), 0);
  ck_assert_uint_eq(count(text, "style="), 0);
  ck_assert_uint_eq(count(text, "http"), 0);
  ck_assert_uint_eq(count(text, "<b>"), 0);
  ck_assert_uint_eq(count(text, "nan"), 0);
  ck_assert_uint_eq(count(text, "inf"), 0);
  ck_assert_uint_eq(count(text, "<title id=\"test-title\">Charge &amp; "), 1);
  ck_assert_uint_eq(count(text, "aria-labelledby=\"test-title test-text\""), 1);
  ck_assert_uint_eq(count(text, "class=\"bv-frame\""), 2);
  /* A line has its curve and its sample in the legend, where there is one. */
  ck_assert_uint_eq(count(text, "\"bv-line bv-s0 bv-d0\""), 3);
  ck_assert_uint_eq(count(text, "\"bv-line bv-s1 bv-d1\""), 2);
  ck_assert_uint_eq(count(text, "\"bv-mark bv-m2\""), 4);
  ck_assert_uint_eq(count(text, ">output &lt;b&gt;, kV</text>"), 1);
  ck_assert_uint_eq(count(text, ">frequency, kHz</text>"), 1);
  ck_assert_uint_eq(count(text, ">time, s</text>"), 1);
  bv_buffer_free(&out);
}
END_TEST

/* The gap of NAN makes two strokes of one curve. */
START_TEST(leaves_a_gap) {
  bv_buffer out = {0};
  draw(&out, false);
  const char *path = strstr(out.text, "bv-s1 bv-d1\" d=\"M");
  path = strstr(path + 1, "bv-s1 bv-d1\" d=\"M");
  size_t strokes = 0;
  for (path += strlen("bv-s1 bv-d1\" d=\""); *path != '"'; path++)
    strokes += *path == 'M';
  ck_assert_uint_eq(strokes, 2);
  bv_buffer_free(&out);
}
END_TEST

START_TEST(stands_nothing_to_draw) {
  double x[] = {(double) NAN, HUGE_VAL}, y[] = {1, 2};
  bv_series series[] = {{"none", NULL, NULL, 0, false, 1, 0},
                        {"nan", x, y, 2, true, 1, 0}};
  bv_panel panel = {{"value", "", true, true}, series, 2};
  bv_chart chart = {.id = "e",
                    .title = "",
                    .description = "",
                    .x = {"x", "", false, false},
                    .panels = &panel,
                    .count = 1,
                    .width = 300,
                    .panel_height = 60};
  bv_buffer out = {0};
  bv_svg_chart(&out, &chart, false);
  ck_assert_ptr_null(strstr(out.text, "nan\""));
  ck_assert_ptr_nonnull(strstr(out.text, "</svg>"));
  bv_buffer_free(&out);
}
END_TEST

static const struct {
  double lo, hi;
  bool log, zero, tight;
  size_t ticks;
  const char *si, *labels;
} axes[] = {
    {0, 1.43, false, false, false, 6, "", "0.0 0.5 1.0 1.5"},
    {0, 1.43, false, false, true, 6, "", "0.0 0.5 1.0"},
    {5e-6, 9.3e-6, false, true, false, 5, "s", "0 2 4 6 8 10 us"},
    {-9.3e-3, -5e-3, false, true, false, 5, "A", "-10 -8 -6 -4 -2 0 mA"},
    {0.5, 0.5, false, false, false, 4, "", "0.45 0.50 0.55"},
    {0, 0, false, false, false, 4, "V", "-1.0 -0.5 0.0 0.5 1.0 V"},
    {-3, 7, false, false, false, 5, "", "-4 -2 0 2 4 6 8"},
    {2100, 81e3, true, false, false, 6, "Hz", "2 5 10 20 50 100 kHz"},
    {2100, 81e4, true, false, false, 6, "Hz", "10 100 1000 kHz"},
    {2.4, 26, true, false, false, 4, "A", "2 5 10 20 50 A"},
    {2.4, 26, true, false, false, 3, "A", "2 10 50 A"},
    {2, 3e7, true, false, false, 3, "", "10 1000 100000 1e+07"},
    {-1e308, 1e308, false, false, false, 3, "",
     "-4e+307 -2e+307 0 2e+307 4e+307"},
    {5e-324, 1e308, true, false, false, 3, "", "1e-205 1 1e+205"},
    {1e-30, 1e30, true, false, false, 6, "",
     "1e-30 1e-20 1e-10 1 1e+10 1e+20 1e+30"},
    {5.7e-10, 1.3, true, false, false, 8, "", "1e-09 1e-07 1e-05 0.001 0.1"},
    {0, 50, true, false, false, 5, "", "0 10 20 30 40 50"},
    {-HUGE_VAL, HUGE_VAL, false, false, false, 5, "",
     "0.0 0.2 0.4 0.6 0.8 1.0"},
    {1e9, 1.00001e9, false, false, false, 3, "", "1e+09 1e+09 1e+09"},
};

START_TEST(fits_axes) {
  for (size_t i = 0; i < sizeof axes / sizeof *axes; i++) {
    bv_axis_wish wish = {.si = axes[i].si,
                         .log = axes[i].log,
                         .zero = axes[i].zero,
                         .tight = axes[i].tight,
                         .ticks = axes[i].ticks};
    bv_axis axis = bv_axis_fit(axes[i].lo, axes[i].hi, &wish);
    char label[BV_NUMBER_SIZE], all[512] = "";
    for (size_t t = 0; t < axis.count; t++)
      snprintf(all + strlen(all), sizeof all - strlen(all), "%s%s",
               t ? " " : "", bv_axis_label(label, &axis, axis.at[t]));
    snprintf(all + strlen(all), sizeof all - strlen(all), "%s%s",
             *axis.unit.text ? " " : "", axis.unit.text);
    ck_assert_str_eq(all, axes[i].labels);
    ck_assert(axis.lo < axis.hi && axis.at[0] >= axis.lo);
    ck_assert(bv_axis_place(&axis, axis.lo) == 0);
    check_close(bv_axis_place(&axis, axis.hi), 1, 1e-12);
  }
}
END_TEST

/* Relative luminance and contrast by WCAG 2.1. */
static double luminance(const char *colour) {
  static const double weights[] = {0.2126, 0.7152, 0.0722};
  char full[8], byte[3] = "";
  double sum = 0;
  if (strspn(colour + 1, "0123456789abcdef") == 3)
    snprintf(full, sizeof full, "#%c%c%c%c%c%c", colour[1], colour[1],
             colour[2], colour[2], colour[3], colour[3]);
  else
    snprintf(full, sizeof full, "%.7s", colour);
  for (int i = 0; i < 3; i++) {
    memcpy(byte, full + 1 + 2 * i, 2);
    double c = (double) strtol(byte, NULL, 16) / 255;
    sum +=
        weights[i] * (c <= 0.03928 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4));
  }
  return sum;
}

static void check_contrast(const char *style, const char *ground,
                           double least) {
  double back = luminance(ground);
  size_t seen = 0;
  for (const char *at = style; (at = strstr(at, ".bv-s")) != NULL; at++) {
    const char *colour = strchr(at, '#');
    double front = luminance(colour);
    double contrast = (fmax(front, back) + 0.05) / (fmin(front, back) + 0.05);
    ck_assert_msg(contrast >= least, "%.7s on %s: %.2f", colour, ground,
                  contrast);
    if (++seen == BV_STYLES)
      break;
  }
  ck_assert_uint_eq(seen, BV_STYLES);
}

static size_t marks_of(const bv_chart *chart) {
  size_t marks = 0;
  bv_buffer out = {0};
  bv_svg_chart(&out, chart, true);
  for (const char *at = out.text; (at = strstr(at, "\"bv-mark ")); at++)
    marks++;
  bv_buffer_free(&out);
  return marks;
}

/* Of marks that lie on each other one is enough: a drawing of a huge front
 * stays one that can be opened. The corners belong to the picture. */
START_TEST(many_marks_are_drawn_once_a_pixel) {
  enum { POINTS = 200000, WIDTH = 200, HEIGHT = 100 };
  double *x = malloc(2 * POINTS * sizeof *x), *y = x + POINTS;
  for (size_t i = 0; i < POINTS; i++) {
    x[i] = (double) (i % 1000) / 999;
    y[i] = (double) (i / 1000) / 199;
  }
  bv_series series = {"rows", x, y, POINTS, true, 1, 0};
  bv_panel panel = {{"up", "", false, false}, &series, 1};
  bv_chart chart = {.id = "many",
                    .title = "Many",
                    .description = "",
                    .x = {"across", "", false, false},
                    .panels = &panel,
                    .count = 1,
                    .width = WIDTH,
                    .panel_height = HEIGHT};
  size_t marks = marks_of(&chart);
  ck_assert_msg(marks > 100 * 100 && marks <= 201 * 101, "%zu", marks);
  series.count = 5000;
  ck_assert_uint_eq(marks_of(&chart), 5000);
  free(x);
}
END_TEST

START_TEST(colours_stand_out) {
  check_close((1.05) / (luminance("#000") + 0.05), 21, 1e-9);
  check_contrast(bv_svg_style, "#fff", 3);
  check_contrast(strstr(bv_svg_style, "@media"), "#1c1c1c", 3);
}
END_TEST

/* The digest of "abc" is an example of FIPS 180-4, in base64 by RFC 4648. */
START_TEST(hashes_for_the_content_policy) {
  bv_buffer out = {0};
  bv_html_hash(&out, "abc");
  ck_assert_str_eq(out.text,
                   "'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0='");
  bv_buffer_free(&out);
}
END_TEST

START_TEST(escapes_texts) {
  bv_buffer out = {0};
  bv_html_escape(&out, "<a href=\"x\">&'\x01\t\xc2\xb5");
  ck_assert_str_eq(out.text, "&lt;a href=&quot;x&quot;&gt;&amp;&#39;"
                             "\xef\xbf\xbd\t\xc2\xb5");
  bv_buffer_free(&out);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {draws_the_golden_chart,
                                has_the_structure_of_a_chart,
                                leaves_a_gap,
                                stands_nothing_to_draw,
                                fits_axes,
                                many_marks_are_drawn_once_a_pixel,
                                colours_stand_out,
                                hashes_for_the_content_policy,
                                escapes_texts,
                                NULL};
  return check_main("svg", tests);
}
