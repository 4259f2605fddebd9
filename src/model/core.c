/* SPDX-License-Identifier: MIT */
#include "model/core.h"

#include <math.h>

#include "base/constants.h"

/* Sums over the parts of a magnetic path: C1 = sum l/A, C2 = sum l/A². */
typedef struct path {
  double c1, c2;
} path;

static void add(path *p, double length, double area) {
  p->c1 += length / area;
  p->c2 += length / (area * area);
}

/* `count` corners between areas: a quarter circle of mean radius (s + h)/4
 * within the two widths, of the mean area. */
static void add_corners(path *p, double count, double width, double height,
                        double area, double other) {
  add(p, count * BV_PI / 8 * (width + height), (area + other) / 2);
}

static path ring(const bv_core_size *s) {
  double inverse = 2 / s->b - 2 / s->a, ratio = log(s->a / s->b);
  double length = 2 * BV_PI * ratio / inverse;
  double area = s->c * ratio * ratio / inverse;
  path p = {0, 0};
  add(&p, length, area);
  return p;
}

/* A pair whose two outer legs act as one leg of area `outer`; `half` is the
 * half width of the centre leg that bears half of its flux. */
static path three_legs(const bv_core_size *s, double outer, double centre,
                       double half) {
  double height = s->b - s->d, back = 2 * height * s->c;
  path p = {0, 0};
  add(&p, 2 * s->d, outer);
  add(&p, s->e - s->f, back);
  add(&p, 2 * s->d, centre);
  add_corners(&p, 2, (s->a - s->e) / 2, height, outer, back);
  add_corners(&p, 2, half, height, back, centre);
  return p;
}

static path e_pair(const bv_core_size *s) {
  return three_legs(s, (s->a - s->e) * s->c, s->f * s->c, s->f / 2);
}

static path etd_pair(const bv_core_size *s) {
  /* The strip of depth c out of the circle of diameter e. */
  double hollow = s->c / 2 * sqrt(s->e * s->e - s->c * s->c) +
                  s->e * s->e / 2 * asin(s->c / s->e);
  double centre = BV_PI / 4 * s->f * s->f;
  return three_legs(s, s->a * s->c - hollow, centre, sqrt(centre) / 2);
}

static path u_pair(const bv_core_size *s) {
  double width = (s->a - s->e) / 2, height = s->b - s->d;
  double leg = width * s->c, back = height * s->c;
  path p = {0, 0};
  add(&p, 4 * s->d, leg);
  add(&p, 2 * s->e, back);
  add_corners(&p, 4, width, height, leg, back);
  return p;
}

/* The two end plates: flux spreads from radius r to R in plates of thickness
 * h, of whose circumference the share k is left by the slots. */
static void add_plates(path *p, double r, double R, double h, double k) {
  p->c1 += log(R / r) / (BV_PI * h * k);
  p->c2 += (1 / r - 1 / R) / (2 * BV_PI * BV_PI * h * h * k * k);
}

static path pot_pair(const bv_core_size *s) {
  double height = (s->e - s->f) / 2;
  double k = 1 - 4 * s->slot / (BV_PI * (s->a + s->b)); /* two slots */
  double outer = BV_PI / 4 * (s->a * s->a - s->b * s->b) * k;
  double post = BV_PI / 4 * (s->c * s->c - s->d * s->d);
  path p = {0, 0};
  add(&p, s->f, outer);
  add(&p, s->f, post);
  add_plates(&p, s->c / 2, s->b / 2, height, k);
  /* The radii that halve the areas of wall and post. */
  double wall = 2 * sqrt((s->a * s->a + s->b * s->b) / 8) - s->b;
  double inner = s->c - 2 * sqrt((s->c * s->c + s->d * s->d) / 8);
  add_corners(&p, 2, wall, height, outer, BV_PI * s->b * height * k);
  add_corners(&p, 2, inner, height, post, BV_PI * s->c * height);
  return p;
}

typedef struct shape_rule {
  path (*make)(const bv_core_size *);
} shape_rule;

static const shape_rule rules[BV_CORE_SHAPE_COUNT] = {
    [BV_CORE_RING] = {ring},    [BV_CORE_E] = {e_pair},
    [BV_CORE_ETD] = {etd_pair}, [BV_CORE_U] = {u_pair},
    [BV_CORE_POT] = {pot_pair},
};

/* Whether every size is positive and each lies inside the one that holds it. */
static bool sound(bv_core_shape shape, const bv_core_size *s) {
  switch (shape) {
  case BV_CORE_RING:
    return s->b > 0 && s->a > s->b && s->c > 0;
  case BV_CORE_U:
    return s->e > 0 && s->a > s->e && s->d > 0 && s->b > s->d && s->c > 0;
  case BV_CORE_POT:
    return s->d >= 0 && s->c > s->d && s->b > s->c && s->a > s->b && s->f > 0 &&
           s->e > s->f && s->slot >= 0 && 4 * s->slot < BV_PI * (s->a + s->b);
  case BV_CORE_ETD:
    if (!(s->e > s->c))
      return false;
    /* fall through */
  case BV_CORE_E:
    return s->f > 0 && s->e > s->f && s->a > s->e && s->d > 0 && s->b > s->d &&
           s->c > 0;
  default:
    return false;
  }
}

bool bv_core_effective_make(bv_core_shape shape, const bv_core_size *size,
                            bv_core_effective *effective) {
  *effective = (bv_core_effective){(double) NAN, (double) NAN, (double) NAN};
  if (!sound(shape, size))
    return false;
  path p = rules[shape].make(size);
  effective->area = p.c1 / p.c2;
  effective->length = p.c1 * effective->area;
  effective->volume = effective->area * effective->length;
  return true;
}

double bv_core_saturation(double at_25, double at_100, double temperature) {
  double slope = (at_100 - at_25) / 75;
  return fmax(at_25 + slope * (temperature - 25), 0);
}

double bv_core_area_product(double inductance, double peak_current,
                            double rms_current, double flux_density,
                            double current_density, double fill) {
  return inductance * peak_current * rms_current /
         (flux_density * current_density * fill);
}

double bv_core_kg(double area, double window, double mean_turn) {
  return area * area * window / mean_turn;
}

double bv_core_kgfe_u(double beta) {
  double half = beta / 2;
  double sum = pow(half, -beta / (beta + 2)) + pow(half, 2 / (beta + 2));
  return pow(sum, -(beta + 2) / beta);
}

double bv_core_kgfe(double area, double window, double mean_turn, double length,
                    double beta) {
  return window * pow(area, 2 * (1 - 1 / beta)) * bv_core_kgfe_u(beta) /
         (mean_turn * pow(length, 2 / beta));
}
