/* SPDX-License-Identifier: MIT */
#include "search/problems.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846

/* Variables of n times the same range. */
#define REAL(from, to)                                                         \
  { .name = "x", .scale = BV_SCALE_REAL, .lo = (from), .hi = (to) }
#define REAL4(a, b) REAL(a, b), REAL(a, b), REAL(a, b), REAL(a, b)
#define REAL10(a, b) REAL4(a, b), REAL4(a, b), REAL(a, b), REAL(a, b)
#define REAL30(a, b) REAL10(a, b), REAL10(a, b), REAL10(a, b)

#define EVALUATE(name) static bv_outcome name(void *context, bv_evaluation *e)

/* E. Zitzler, K. Deb, L. Thiele, "Comparison of multiobjective evolutionary
 * algorithms: empirical results", Evolutionary Computation 8(2), 2000. */

static double zdt_g(const double *x, size_t n) {
  double sum = 0;
  for (size_t i = 1; i < n; i++)
    sum += x[i];
  return 1 + 9 * sum / (double) (n - 1);
}

EVALUATE(zdt1) {
  (void) context;
  double g = zdt_g(e->x, 30);
  e->objectives[0] = e->x[0];
  e->objectives[1] = g * (1 - sqrt(e->x[0] / g));
  return BV_OUTCOME_EVALUATED;
}

EVALUATE(zdt2) {
  (void) context;
  double g = zdt_g(e->x, 30), r = e->x[0] / g;
  e->objectives[0] = e->x[0];
  e->objectives[1] = g * (1 - r * r);
  return BV_OUTCOME_EVALUATED;
}

EVALUATE(zdt3) {
  (void) context;
  double g = zdt_g(e->x, 30), r = e->x[0] / g;
  e->objectives[0] = e->x[0];
  e->objectives[1] = g * (1 - sqrt(r) - r * sin(10 * PI * e->x[0]));
  return BV_OUTCOME_EVALUATED;
}

/* ZDT4 with its optimum at x_i = shift, i >= 1. */
static void zdt4_at(bv_evaluation *e, double shift) {
  double g = 1 + 10 * 9;
  for (size_t i = 1; i < 10; i++) {
    double y = e->x[i] - shift;
    g += y * y - 10 * cos(4 * PI * y);
  }
  e->objectives[0] = e->x[0];
  e->objectives[1] = g * (1 - sqrt(e->x[0] / g));
}

EVALUATE(zdt4) {
  (void) context;
  zdt4_at(e, 0);
  return BV_OUTCOME_EVALUATED;
}

EVALUATE(zdt4_shifted) {
  (void) context;
  zdt4_at(e, 1.3);
  return BV_OUTCOME_EVALUATED;
}

EVALUATE(zdt6) {
  (void) context;
  double sum = 0;
  for (size_t i = 1; i < 10; i++)
    sum += e->x[i];
  double f = 1 - exp(-4 * e->x[0]) * pow(sin(6 * PI * e->x[0]), 6);
  double g = 1 + 9 * pow(sum / 9, 0.25);
  e->objectives[0] = f;
  e->objectives[1] = g * (1 - f / g * (f / g));
  return BV_OUTCOME_EVALUATED;
}

static const bv_variable unit30[] = {REAL30(0, 1)};
static const bv_variable zdt4_box[] = {REAL(0, 1), REAL4(-5, 5), REAL4(-5, 5),
                                       REAL(-5, 5)};

/* K. Deb, L. Thiele, M. Laumanns, E. Zitzler, "Scalable multi-objective
 * optimization test problems", CEC 2002. */

EVALUATE(dtlz2) {
  (void) context;
  double g = 0;
  for (size_t i = 2; i < 12; i++)
    g += (e->x[i] - 0.5) * (e->x[i] - 0.5);
  double a = e->x[0] * PI / 2, b = e->x[1] * PI / 2;
  e->objectives[0] = (1 + g) * cos(a) * cos(b);
  e->objectives[1] = (1 + g) * cos(a) * sin(b);
  e->objectives[2] = (1 + g) * sin(a);
  return BV_OUTCOME_EVALUATED;
}

EVALUATE(dtlz7) {
  (void) context;
  double sum = 0, h = 3;
  for (size_t i = 2; i < 22; i++)
    sum += e->x[i];
  double g = 1 + 9 * sum / 20;
  for (size_t i = 0; i < 2; i++) {
    double f = e->x[i];
    e->objectives[i] = f;
    h -= f / (1 + g) * (1 + sin(3 * PI * f));
  }
  e->objectives[2] = (1 + g) * h;
  return BV_OUTCOME_EVALUATED;
}

/* K. Deb, "Multi-objective optimization using evolutionary algorithms", Wiley,
 * 2001, section 8.3 (BNH, SRN, TNK, OSY). */

EVALUATE(bnh) {
  (void) context;
  double x = e->x[0], y = e->x[1];
  e->objectives[0] = 4 * x * x + 4 * y * y;
  e->objectives[1] = (x - 5) * (x - 5) + (y - 5) * (y - 5);
  e->limits[0] = ((x - 5) * (x - 5) + y * y) / 25 - 1;
  e->limits[1] = 1 - ((x - 8) * (x - 8) + (y + 3) * (y + 3)) / 7.7;
  return BV_OUTCOME_EVALUATED;
}

EVALUATE(srn) {
  (void) context;
  double x = e->x[0], y = e->x[1];
  e->objectives[0] = (x - 2) * (x - 2) + (y - 1) * (y - 1) + 2;
  e->objectives[1] = 9 * x - (y - 1) * (y - 1);
  e->limits[0] = (x * x + y * y) / 225 - 1;
  e->limits[1] = (x - 3 * y) / 10 + 1;
  return BV_OUTCOME_EVALUATED;
}

EVALUATE(tnk) {
  (void) context;
  double x = e->x[0], y = e->x[1];
  e->objectives[0] = x;
  e->objectives[1] = y;
  e->limits[0] = 1 + 0.1 * cos(16 * atan2(x, y)) - x * x - y * y;
  e->limits[1] = ((x - 0.5) * (x - 0.5) + (y - 0.5) * (y - 0.5)) / 0.5 - 1;
  return BV_OUTCOME_EVALUATED;
}

EVALUATE(osy) {
  (void) context;
  const double *x = e->x;
  double sum = 0;
  for (size_t i = 0; i < 6; i++)
    sum += x[i] * x[i];
  e->objectives[0] = -(25 * (x[0] - 2) * (x[0] - 2) + (x[1] - 2) * (x[1] - 2) +
                       (x[2] - 1) * (x[2] - 1) + (x[3] - 4) * (x[3] - 4) +
                       (x[4] - 1) * (x[4] - 1));
  e->objectives[1] = sum;
  e->limits[0] = 1 - (x[0] + x[1]) / 2;
  e->limits[1] = (x[0] + x[1]) / 6 - 1;
  e->limits[2] = (x[1] - x[0]) / 2 - 1;
  e->limits[3] = (x[0] - 3 * x[1]) / 2 - 1;
  e->limits[4] = ((x[2] - 3) * (x[2] - 3) + x[3]) / 4 - 1;
  e->limits[5] = 1 - ((x[4] - 3) * (x[4] - 3) + x[5]) / 4;
  return BV_OUTCOME_EVALUATED;
}

static const bv_variable unit12[] = {REAL10(0, 1), REAL(0, 1), REAL(0, 1)};
static const bv_variable unit22[] = {REAL10(0, 1), REAL10(0, 1), REAL(0, 1),
                                     REAL(0, 1)};
static const bv_variable bnh_box[] = {REAL(0, 5), REAL(0, 3)};
static const bv_variable srn_box[] = {REAL(-20, 20), REAL(-20, 20)};
static const bv_variable tnk_box[] = {REAL(1e-9, PI), REAL(1e-9, PI)};
static const bv_variable osy_box[] = {REAL(0, 10), REAL(0, 10), REAL(1, 5),
                                      REAL(0, 6),  REAL(1, 5),  REAL(0, 10)};

/* K. Ragsdell, D. Phillips, J. Engineering for Industry 98, 1976; two
 * objectives by K. Deb, Comput. Methods Appl. Mech. Engrg. 186, 2000. */
EVALUATE(welded_beam) {
  (void) context;
  double h = e->x[0], l = e->x[1], t = e->x[2], b = e->x[3];
  double arm2 = 0.25 * (l * l + (h + t) * (h + t)), arm = sqrt(arm2);
  double direct = 6000 / (sqrt(2) * h * l);
  double bent = 6000 * (14 + 0.5 * l) * arm /
                (2 * 0.707 * h * l * (l * l / 12 + 0.25 * (h + t) * (h + t)));
  double shear = sqrt(direct * direct + bent * bent + l * direct * bent / arm);
  e->objectives[0] = 1.10471 * h * h * l + 0.04811 * t * b * (14 + l);
  e->objectives[1] = 2.1952 / (t * t * t * b);
  e->limits[0] = shear / 13600 - 1;
  e->limits[1] = 504000 / (t * t * b) / 30000 - 1;
  e->limits[2] = (h - b) / 5;
  e->limits[3] = 1 - 64746.022 * (1 - 0.0282346 * t) * t * b * b * b / 6000;
  return BV_OUTCOME_EVALUATED;
}

/* V. Chankong, Y. Haimes, "Multiobjective decision making", 1983; form of C.
 * Coello Coello, G. Pulido, "Multiobjective structural optimization using a
 * microgenetic algorithm", 2005: volume and the larger stress. */
EVALUATE(two_bar_truss) {
  (void) context;
  double a = e->x[0], b = e->x[1], y = e->x[2];
  double long_bar = sqrt(16 + y * y), short_bar = sqrt(1 + y * y);
  double stress = fmax(20 * long_bar / (y * a), 80 * short_bar / (y * b));
  e->objectives[0] = a * long_bar + b * short_bar;
  e->objectives[1] = stress;
  e->limits[0] = stress / 1e5 - 1;
  return BV_OUTCOME_EVALUATED;
}

/* J. Golinski, J. Mechanisms 5, 1970; two objectives by A. Kurpati, S. Azarm,
 * J. Wu, Struct. Multidisc. Optim. 23, 2002: weight and shaft stress. */
EVALUATE(speed_reducer) {
  (void) context;
  const double *x = e->x;
  double face = x[0], module = x[1], teeth = x[2], l1 = x[3], l2 = x[4],
         d1 = x[5], d2 = x[6];
  double m2 = module * module, mt = module * teeth;
  double stress1 = sqrt(pow(745 * l1 / mt, 2) + 1.69e7) / (0.1 * d1 * d1 * d1);
  double stress2 = sqrt(pow(745 * l2 / mt, 2) + 1.575e8) / (0.1 * d2 * d2 * d2);
  e->objectives[0] =
      0.7854 * face * m2 * (10 * teeth * teeth / 3 + 14.933 * teeth - 43.0934) -
      1.508 * face * (d1 * d1 + d2 * d2) + 7.477 * (pow(d1, 3) + pow(d2, 3)) +
      0.7854 * (l1 * d1 * d1 + l2 * d2 * d2);
  e->objectives[1] = stress1;
  e->limits[0] = 27 / (face * m2 * teeth) - 1;
  e->limits[1] = 397.5 / (face * m2 * teeth * teeth) - 1;
  e->limits[2] = 1.93 * pow(l1, 3) / (mt * pow(d1, 4)) - 1;
  e->limits[3] = 1.93 * pow(l2, 3) / (mt * pow(d2, 4)) - 1;
  e->limits[4] = mt / 40 - 1;
  e->limits[5] = face / module / 12 - 1;
  e->limits[6] = 1 - face / module / 5;
  e->limits[7] = (1.9 + 1.5 * d1) / l1 - 1;
  e->limits[8] = (1.9 + 1.1 * d2) / l2 - 1;
  e->limits[9] = stress1 / 1300 - 1;
  e->limits[10] = stress2 / 1100 - 1;
  return BV_OUTCOME_EVALUATED;
}

static const bv_variable beam_box[] = {REAL(0.125, 5), REAL(0.1, 10),
                                       REAL(0.1, 10), REAL(0.125, 5)};
static const bv_variable truss_box[] = {REAL(1e-5, 0.01), REAL(1e-5, 0.01),
                                        REAL(1, 3)};
static const bv_variable reducer_box[] = {
    REAL(2.6, 3.6),
    REAL(0.7, 0.8),
    {.name = "teeth", .scale = BV_SCALE_WHOLE, .lo = 17, .hi = 28},
    REAL(7.3, 8.3),
    REAL(7.3, 8.3),
    REAL(2.9, 3.9),
    REAL(5, 5.5)};

#define PROBLEM(box, m, k, f)                                                  \
  .problem = {                                                                 \
      .space = {.variables = (box), .count = sizeof(box) / sizeof *(box)},     \
      .objectives = (m),                                                       \
      .limits = (k),                                                           \
      .evaluate = (f)}
#define SLICE(box, n, m, k, f)                                                 \
  .problem = {.space = {.variables = (box), .count = (n)},                     \
              .objectives = (m),                                               \
              .limits = (k),                                                   \
              .evaluate = (f)}

const test_problem test_problems[] = {
    {"ZDT1",
     "Zitzler, Deb, Thiele 2000",
     PROBLEM(unit30, 2, 0, zdt1),
     {1.1, 1.1},
     0.87666667},
    {"ZDT2",
     "Zitzler, Deb, Thiele 2000",
     PROBLEM(unit30, 2, 0, zdt2),
     {1.1, 1.1},
     0.54333333},
    {"ZDT3",
     "Zitzler, Deb, Thiele 2000",
     PROBLEM(unit30, 2, 0, zdt3),
     {1.1, 1.1},
     1.3317508},
    {"ZDT4",
     "Zitzler, Deb, Thiele 2000",
     PROBLEM(zdt4_box, 2, 0, zdt4),
     {1.1, 1.1},
     0.87666667},
    {"ZDT4 shifted",
     "Zitzler, Deb, Thiele 2000, optimum moved to 1.3",
     PROBLEM(zdt4_box, 2, 0, zdt4_shifted),
     {1.1, 1.1},
     0.87666667},
    {"ZDT6",
     "Zitzler, Deb, Thiele 2000",
     SLICE(unit30, 10, 2, 0, zdt6),
     {1.1, 1.1},
     0.50786095},
    {"DTLZ2",
     "Deb, Thiele, Laumanns, Zitzler 2002",
     PROBLEM(unit12, 3, 0, dtlz2),
     {1.1, 1.1, 1.1},
     0.80740122},
    {"DTLZ7",
     "Deb, Thiele, Laumanns, Zitzler 2002",
     PROBLEM(unit22, 3, 0, dtlz7),
     {0.94534, 0.94534, 6.3386},
     1.5056262},
    {"BNH", "Deb 2001", PROBLEM(bnh_box, 2, 2, bnh), {149.6, 54.6}, 6414.9707},
    {"SRN",
     "Deb 2001",
     PROBLEM(srn_box, 2, 2, srn),
     {244.256, 24.6449},
     35213.458},
    {"TNK", "Deb 2001", PROBLEM(tnk_box, 2, 2, tnk), {1.1, 1.1}, 0.43339063},
    {"OSY", "Deb 2001", PROBLEM(osy_box, 2, 6, osy), {-18.8, 83.2}, 16183.603},
    {"Welded beam",
     "Ragsdell, Phillips 1976; Deb 2000",
     PROBLEM(beam_box, 2, 4, welded_beam),
     {39.8589, 0.0172261},
     0.5944232},
    {"Two-bar truss",
     "Chankong, Haimes 1983; Coello Coello, Pulido 2005",
     PROBLEM(truss_box, 2, 1, two_bar_truss),
     {0.0561257, 109157},
     4626.7519},
    {"Speed reducer",
     "Golinski 1970; Kurpati, Azarm, Wu 2002",
     PROBLEM(reducer_box, 2, 11, speed_reducer),
     {6097.33, 1360.53},
     2160437.9},
};

const size_t test_problem_count = sizeof test_problems / sizeof *test_problems;

const test_problem *test_problem_find(const char *name) {
  for (size_t i = 0; i < test_problem_count; i++)
    if (!strcmp(test_problems[i].name, name))
      return &test_problems[i];
  return NULL;
}
