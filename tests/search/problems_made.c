/* SPDX-License-Identifier: MIT */
/* Functions made to be searched: the families ZDT and DTLZ, Kursawe's, and
 * those with limits that textbooks use. */
#include "search/problem_rows.h"

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

/* The same for m objectives and m + 9 variables. */
static bv_outcome dtlz2_of(size_t m, bv_evaluation *e) {
  double radius = 1;
  for (size_t i = m - 1; i < m + 9; i++)
    radius += (e->x[i] - 0.5) * (e->x[i] - 0.5);
  for (size_t j = 0; j < m - 1; j++) {
    double angle = e->x[j] * PI / 2;
    e->objectives[j] = radius * sin(angle);
    radius *= cos(angle);
  }
  e->objectives[m - 1] = radius;
  return BV_OUTCOME_EVALUATED;
}

EVALUATE(dtlz2_4) {
  (void) context;
  return dtlz2_of(4, e);
}

EVALUATE(dtlz2_5) {
  (void) context;
  return dtlz2_of(5, e);
}

/* DTLZ1 of the same paper: a plane behind 11^5 - 1 local ones. */
EVALUATE(dtlz1) {
  (void) context;
  double g = 5;
  for (size_t i = 2; i < 7; i++)
    g += (e->x[i] - 0.5) * (e->x[i] - 0.5) - cos(20 * PI * (e->x[i] - 0.5));
  double size = 0.5 * (1 + 100 * g), a = e->x[0], b = e->x[1];
  e->objectives[0] = size * a * b;
  e->objectives[1] = size * a * (1 - b);
  e->objectives[2] = size * (1 - a);
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

/* F. Kursawe, "A variant of evolution strategies for vector optimization", PPSN
 * 1991. */
EVALUATE(kursawe) {
  (void) context;
  const double *x = e->x;
  e->objectives[0] = e->objectives[1] = 0;
  for (size_t i = 0; i < 2; i++)
    e->objectives[0] -=
        10 * exp(-0.2 * sqrt(x[i] * x[i] + x[i + 1] * x[i + 1]));
  for (size_t i = 0; i < 3; i++)
    e->objectives[1] += pow(fabs(x[i]), 0.8) + 5 * sin(x[i] * x[i] * x[i]);
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

/* CONSTR of Deb 2001. */
EVALUATE(constr) {
  (void) context;
  double x = e->x[0], y = e->x[1];
  e->objectives[0] = x;
  e->objectives[1] = (1 + y) / x;
  e->limits[0] = 1 - (y + 9 * x) / 6;
  e->limits[1] = 1 - (9 * x - y);
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
static const bv_variable kursawe_box[] = {REAL(-5, 5), REAL(-5, 5),
                                          REAL(-5, 5)};
static const bv_variable constr_box[] = {REAL(0.1, 1), REAL(0, 5)};

const test_problem made_problems[] = {
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
    {"DTLZ1",
     "Deb, Thiele, Laumanns, Zitzler 2002",
     SLICE(unit30, 7, 3, 0, dtlz1),
     {0.6, 0.6, 0.6},
     0.19516667},
    {"DTLZ2-4",
     "Deb, Thiele, Laumanns, Zitzler 2002",
     SLICE(unit30, 13, 4, 0, dtlz2_4),
     {1.1, 1.1, 1.1, 1.1},
     1.1556749},
    {"DTLZ2-5",
     "Deb, Thiele, Laumanns, Zitzler 2002",
     SLICE(unit30, 14, 5, 0, dtlz2_5),
     {1.1, 1.1, 1.1, 1.1, 1.1},
     1.4460166},
    {"Kursawe",
     "Kursawe 1991",
     PROBLEM(kursawe_box, 2, 0, kursawe),
     {-13.88, 1.164},
     39.8565},
    {"CONSTR",
     "Deb 2001",
     PROBLEM(constr_box, 2, 2, constr),
     {1.0611, 9.8},
     4.8481311},
};

const size_t made_problem_count = sizeof made_problems / sizeof *made_problems;
