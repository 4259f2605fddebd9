/* SPDX-License-Identifier: MIT */
#include "view/svg.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "view/aligned.h"
#include "view/axis.h"
#include "view/html.h"

/* Colours by M. Okabe, K. Ito, "Color Universal Design", 2008: those of the
 * eight with a contrast of 3:1 to the ground, for light and for dark (WCAG 2.1,
 * 1.4.11). */
#define BLUE "#0072b2"
#define VERMILLION "#d55e00"
#define GREEN "#009e73"
#define ORANGE "#e69f00"
#define SKY "#56b4e9"
#define YELLOW "#f0e442"
#define PURPLE "#cc79a7"

#define SERIES(n, light)                                                       \
  ".bv-s" n "{stroke:" light "}.bv-m" n "{stroke:" light ";fill:" light "}"

const char bv_svg_style[] =
    ".bv-chart{max-width:100%;height:auto}"
    ".bv-ground{fill:#fff}"
    ".bv-chart text{font:12px system-ui,'DejaVu Sans',sans-serif;fill:#222}"
    ".bv-chart .bv-name{font-weight:600}"
    ".bv-frame{fill:none;stroke:#666}"
    ".bv-grid{stroke:#ddd}"
    ".bv-line{fill:none;stroke-width:1.8;stroke-linejoin:round}"
    ".bv-mark{stroke-width:1;fill-opacity:.75}"
    ".bv-m4{stroke-width:2}"
    ".bv-d1{stroke-dasharray:7 3}"
    ".bv-d2{stroke-dasharray:2 2.5}"
    ".bv-d3{stroke-dasharray:9 3 2 3}"
    ".bv-d4{stroke-dasharray:14 4}" SERIES("0", BLUE) SERIES("1", VERMILLION)
        SERIES("2", GREEN) SERIES("3", "#222") SERIES(
            "4",
            "#666") "@media screen and (prefers-color-scheme:dark){"
                    ".bv-ground{fill:#1c1c1c}"
                    ".bv-chart text{fill:#e8e8e8}"
                    ".bv-frame{stroke:#999}.bv-grid{stroke:#3a3a3a}" SERIES(
                        "0", SKY) SERIES("1", ORANGE) SERIES("2", YELLOW)
                        SERIES("3", PURPLE) SERIES("4", "#e8e8e8") "}";

/* Room around a panel, px. */
enum { LEFT = 58, RIGHT = 18, ABOVE = 26, BELOW = 8, FOOT = 40, TICK = 5 };

/* Marks for points, drawn around the origin. */
static const char *const marks[BV_STYLES] = {
    "M-3.5 0a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0 -7 0", /* disc */
    "M-3.2 -3.2h6.4v6.4h-6.4z",                     /* square */
    "M0 -4.2L4 3H-4z",                              /* triangle */
    "M0 -4.6L4 0L0 4.6L-4 0z",                      /* diamond */
    "M-3.5 -3.5L3.5 3.5M-3.5 3.5L3.5 -3.5",         /* cross */
};

/* One panel while it is drawn. */
typedef struct frame {
  bv_buffer *out;
  bv_axis x, y;
  double left, top, width, height; /* px, of the plot */
} frame;

static double across(const frame *f, double x) {
  return f->left + f->width * bv_axis_place(&f->x, x);
}

static double down(const frame *f, double y) {
  return f->top + f->height * (1 - bv_axis_place(&f->y, y));
}

static double x_at(const bv_series *series, size_t i) {
  return series->x[i * (series->stride ? series->stride : 1)];
}

static double y_at(const bv_series *series, size_t i) {
  return series->y[i * (series->stride ? series->stride : 1)];
}

static bool drawn(const frame *f, double x, double y) {
  return isfinite(x) && isfinite(y) && (!f->x.log || x > 0) &&
         (!f->y.log || y > 0);
}

static void stretch(double value, bool log, double *lo, double *hi) {
  if (!isfinite(value) || (log && value <= 0))
    return;
  *lo = fmin(*lo, value);
  *hi = fmax(*hi, value);
}

/* Curves fill the width, marks keep off the ends. */
static bool has_lines(const bv_chart *chart) {
  for (size_t p = 0; p < chart->count; p++)
    for (size_t s = 0; s < chart->panels[p].count; s++)
      if (!chart->panels[p].series[s].points)
        return true;
  return false;
}

static bv_axis fit_x(const bv_chart *chart) {
  double lo = HUGE_VAL, hi = -HUGE_VAL;
  for (size_t p = 0; p < chart->count; p++)
    for (size_t s = 0; s < chart->panels[p].count; s++)
      for (size_t i = 0; i < chart->panels[p].series[s].count; i++)
        stretch(x_at(&chart->panels[p].series[s], i), chart->x.log, &lo, &hi);
  bv_axis_wish wish = {.si = chart->x.si,
                       .log = chart->x.log,
                       .zero = chart->x.zero,
                       .tight = !chart->x.log && has_lines(chart),
                       .ticks = (size_t) fmin(10, chart->width / 60)};
  return bv_axis_fit(lo, hi, &wish);
}

static bv_axis fit_y(const bv_panel *panel, double height) {
  double lo = HUGE_VAL, hi = -HUGE_VAL;
  for (size_t s = 0; s < panel->count; s++)
    for (size_t i = 0; i < panel->series[s].count; i++)
      stretch(y_at(&panel->series[s], i), panel->y.log, &lo, &hi);
  bv_axis_wish wish = {.si = panel->y.si,
                       .log = panel->y.log,
                       .zero = panel->y.zero,
                       .ticks = (size_t) fmax(2, fmin(8, height / 25))};
  return bv_axis_fit(lo, hi, &wish);
}

/* Label of an axis: "time, ms". */
static void write_label(bv_buffer *out, const bv_chart_axis *axis,
                        const bv_axis *fitted) {
  bv_html_escape(out, axis->label);
  if (!*fitted->unit.text)
    return;
  bv_buffer_print(out, ", ");
  bv_number_typeset_unit(out, fitted->unit.text);
}

static void draw_y_ticks(const frame *f) {
  for (size_t i = 0; i < f->y.count; i++) {
    char label[BV_NUMBER_SIZE];
    double y = down(f, f->y.at[i]);
    bv_buffer_print(f->out,
                    "<path class=\"bv-grid\" d=\"M%.1f %.1fh%.1f\"/>"
                    "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"end\">%s</text>",
                    f->left, y, f->width, f->left - TICK, y + 4,
                    bv_axis_label(label, &f->y, f->y.at[i]));
  }
}

static void draw_x_ticks(const frame *f, bool labels) {
  for (size_t i = 0; i < f->x.count; i++) {
    char label[BV_NUMBER_SIZE];
    double x = across(f, f->x.at[i]), foot = f->top + f->height;
    bv_buffer_print(f->out, "<path class=\"bv-grid\" d=\"M%.1f %.1fv%.1f\"/>",
                    x, f->top, f->height);
    if (labels)
      bv_buffer_print(f->out,
                      "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"middle\">"
                      "%s</text>",
                      x, foot + 16, bv_axis_label(label, &f->x, f->x.at[i]));
  }
}

static void draw_line(const frame *f, const bv_series *series, size_t style) {
  bool pen_down = false;
  bv_buffer_print(f->out, "<path class=\"bv-line bv-s%zu bv-d%zu\" d=\"", style,
                  style);
  for (size_t i = 0; i < series->count; i++) {
    double x = x_at(series, i), y = y_at(series, i);
    bool here = drawn(f, x, y);
    if (here)
      bv_buffer_print(f->out, "%c%.1f %.1f", pen_down ? 'L' : 'M', across(f, x),
                      down(f, y));
    pen_down = here;
  }
  bv_buffer_print(f->out, "\"/>");
}

static void draw_mark(bv_buffer *out, size_t style, double x, double y) {
  bv_buffer_print(out,
                  "<path class=\"bv-mark bv-m%zu\" transform=\"translate(%.1f "
                  "%.1f)\" d=\"%s\"/>",
                  style, x, y, marks[style]);
}

/* Marks from which on those of one pixel are drawn once. */
enum { MANY = 5000 };

static size_t pixels(double length) {
  return (size_t) (length + 0.5) + 1;
}

/* True once for each pixel of the frame, always outside of it. */
static bool is_first(const frame *f, bool *taken, double x, double y) {
  double right = across(f, x) - f->left, below = down(f, y) - f->top;
  if (!(right >= 0 && right <= f->width && below >= 0 && below <= f->height))
    return true;
  size_t column = pixels(right) - 1, row = pixels(below) - 1;
  bool *place = &taken[row * pixels(f->width) + column];
  bool first = !*place;
  *place = true;
  return first;
}

static void draw_points(const frame *f, const bv_series *series, size_t style) {
  bool *taken = series->count > MANY
                    ? calloc(pixels(f->width) * pixels(f->height), 1)
                    : NULL;
  for (size_t i = 0; i < series->count; i++) {
    double x = x_at(series, i), y = y_at(series, i);
    if (drawn(f, x, y) && (!taken || is_first(f, taken, x, y)))
      draw_mark(f->out, style, across(f, x), down(f, y));
  }
  free(taken);
}

static void draw_series(const frame *f, const bv_series *series, size_t style) {
  if (series->points)
    draw_points(f, series, style);
  else
    draw_line(f, series, style);
}

/* Width of a text of 12 px, px; a generous mean for sans-serif letters. */
static double text_width(const char *text) {
  return 7.0 * (double) bv_text_width(text);
}

/* Of a legend, px: between a name and its mark, and what a name has besides. */
enum { BESIDE = 6, NAME_ROOM = 42 + BESIDE };

/* Letters to which names have to be cut so that a legend has room px. */
static size_t letters_for(const bv_panel *panel, double room) {
  size_t letters = 100;
  for (double taken = HUGE_VAL; letters > 4 && taken > room; letters--) {
    taken = 0;
    for (size_t s = 0; s < panel->count; s++)
      taken += fmin(text_width(panel->series[s].name), 7.0 * (double) letters) +
               NAME_ROOM;
  }
  return letters + 1;
}

/* A name of at most so many letters; the whole one is told of one that is cut.
 */
static void write_name(bv_buffer *out, const char *name, size_t letters) {
  bv_buffer begin = {0};
  if (bv_text_width(name) <= letters) {
    bv_html_escape(out, name);
    return;
  }
  bv_buffer_print(out, "<title>");
  bv_html_escape(out, name);
  bv_buffer_print(out, "</title>");
  bv_buffer_append(&begin, name, bv_text_bytes(name, letters - 1));
  bv_html_escape(out, begin.failed ? "" : begin.text);
  bv_buffer_print(out, "\xe2\x80\xa6");
  out->failed |= begin.failed;
  bv_buffer_free(&begin);
}

static size_t style_of(const bv_panel *panel, size_t place) {
  size_t look = panel->series[place].look;
  return (look > 0 ? look - 1 : place) % BV_STYLES;
}

/* From right to left, beside the label of the axis, label px wide. */
static void draw_legend(const frame *f, const bv_panel *panel, double label) {
  double right = f->left + f->width, y = f->top - 10;
  size_t letters = letters_for(panel, right - label);
  for (size_t left = panel->count; panel->count > 1 && left > 0; left--) {
    const bv_series *series = &panel->series[left - 1];
    size_t style = style_of(panel, left - 1);
    /* The name begins beside its mark. */
    right -= fmin(text_width(series->name), 7.0 * (double) letters);
    bv_buffer_print(f->out, "<text x=\"%.1f\" y=\"%.1f\">", right, y);
    write_name(f->out, series->name, letters);
    bv_buffer_print(f->out, "</text>");
    right -= BESIDE;
    if (series->points)
      draw_mark(f->out, style, right - 12, y - 4);
    else
      bv_buffer_print(f->out,
                      "<path class=\"bv-line bv-s%zu bv-d%zu\" "
                      "d=\"M%.1f %.1fh26\"/>",
                      style, style, right - 26, y - 4);
    right -= NAME_ROOM - BESIDE;
  }
}

static void draw_panel(frame *f, const bv_panel *panel, bool last) {
  draw_y_ticks(f);
  draw_x_ticks(f, last);
  bv_buffer_print(f->out,
                  "<rect class=\"bv-frame\" x=\"%.1f\" y=\"%.1f\" "
                  "width=\"%.1f\" height=\"%.1f\"/>"
                  "<text class=\"bv-name\" x=\"8\" y=\"%.1f\">",
                  f->left, f->top, f->width, f->height, f->top - 10);
  write_label(f->out, &panel->y, &f->y);
  bv_buffer_print(f->out, "</text>");
  double label = 8 + text_width(panel->y.label) + text_width(f->y.unit.text);
  draw_legend(f, panel, label);
  for (size_t s = 0; s < panel->count; s++)
    draw_series(f, &panel->series[s], style_of(panel, s));
  bv_buffer_print(f->out, "\n");
}

static void open_chart(bv_buffer *out, const bv_chart *chart, double height,
                       bool alone) {
  bv_buffer_print(
      out,
      "<svg%s class=\"bv-chart\" viewBox=\"0 0 %.0f %.0f\" width=\"%.0f\" "
      "height=\"%.0f\" role=\"img\" aria-labelledby=\"%s-title %s-text\">\n"
      "<title id=\"%s-title\">",
      alone ? " xmlns=\"http://www.w3.org/2000/svg\"" : "", chart->width,
      height, chart->width, height, chart->id, chart->id, chart->id);
  bv_html_escape(out, chart->title);
  bv_buffer_print(out, "</title><desc id=\"%s-text\">", chart->id);
  bv_html_escape(out, chart->description);
  bv_buffer_print(out, "</desc>\n");
  if (alone)
    bv_buffer_print(out, "<style>%s</style>\n", bv_svg_style);
  bv_buffer_print(out,
                  "<rect class=\"bv-ground\" width=\"%.0f\" "
                  "height=\"%.0f\"/>\n",
                  chart->width, height);
}

void bv_svg_chart(bv_buffer *out, const bv_chart *chart, bool alone) {
  double step = ABOVE + chart->panel_height + BELOW;
  double height = step * (double) chart->count + FOOT - BELOW;
  open_chart(out, chart, height, alone);
  frame f = {.out = out,
             .x = fit_x(chart),
             .left = LEFT,
             .width = chart->width - LEFT - RIGHT,
             .height = chart->panel_height};
  for (size_t p = 0; p < chart->count; p++) {
    f.top = ABOVE + step * (double) p;
    f.y = fit_y(&chart->panels[p], f.height);
    draw_panel(&f, &chart->panels[p], p + 1 == chart->count);
  }
  bv_buffer_print(out,
                  "<text class=\"bv-name\" x=\"%.1f\" y=\"%.1f\" "
                  "text-anchor=\"middle\">",
                  LEFT + f.width / 2, height - 6);
  write_label(out, &chart->x, &f.x);
  bv_buffer_print(out, "</text>\n</svg>\n");
}
