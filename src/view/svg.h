/* SPDX-License-Identifier: MIT */
/* Charts as SVG 1.1: panels above each other that share one x axis. No scripts,
 * no outside references; colours by a style sheet that knows light, dark and
 * print, series told apart by dash or mark as well as by colour. */
#ifndef BV_VIEW_SVG_H
#define BV_VIEW_SVG_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"

/* A curve or a set of points; a NAN in x or y leaves a gap. */
typedef struct bv_series {
  const char *name; /* for the legend, shown where a panel has several */
  const double *x, *y;
  size_t count;
  bool points;   /* marks instead of a line */
  size_t stride; /* doubles from one value to the next; 0: 1 */
  size_t look;   /* 1 … BV_STYLES: colour, dash and mark; 0: by its place */
} bv_series;

typedef struct bv_chart_axis {
  const char *label; /* without unit */
  const char *si;    /* SI unit, "" for a pure number */
  bool log, zero;    /* logarithmic; linear with zero in the range */
} bv_chart_axis;

typedef struct bv_panel {
  bv_chart_axis y;
  const bv_series *series;
  size_t count; /* 1 … BV_STYLES places differ in look, later ones repeat */
} bv_panel;

enum { BV_STYLES = 5 };

typedef struct bv_chart {
  const char *id; /* unique in its document, letters and digits */
  const char *title, *description; /* read aloud instead of the picture */
  bv_chart_axis x;
  const bv_panel *panels;
  size_t count;
  double width, panel_height; /* px, 300 … 2000 and 60 … 2000 */
} bv_chart;

/* The style sheet of charts, for the page that holds them. */
extern const char bv_svg_style[];

/* Appends the chart as an element for a page that has bv_svg_style, or `alone`
 * as an SVG file with the style inside. */
void bv_svg_chart(bv_buffer *out, const bv_chart *chart, bool alone);

#endif
