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

/* The same, with four objectives and 13 variables. */
EVALUATE(dtlz2_4) {
  (void) context;
  double g = 0;
  for (size_t i = 3; i < 13; i++)
    g += (e->x[i] - 0.5) * (e->x[i] - 0.5);
  double radius = 1 + g;
  for (size_t j = 0; j < 3; j++) {
    double angle = e->x[j] * PI / 2;
    e->objectives[j] = radius * sin(angle);
    radius *= cos(angle);
  }
  e->objectives[3] = radius;
  return BV_OUTCOME_EVALUATED;
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

/* Volume and joint displacement of four bars: F. Cheng, X. Li, "Generalized
 * center method for multiobjective engineering optimization", Engineering
 * Optimization 31, 1999. */
EVALUATE(four_bar_truss) {
  (void) context;
  const double *x = e->x;
  e->objectives[0] = 200 * (2 * x[0] + sqrt(2) * x[1] + sqrt(x[2]) + x[3]);
  e->objectives[1] =
      0.01 * (2 / x[0] + 2 * sqrt(2) / x[1] - 2 * sqrt(2) / x[2] + 2 / x[3]);
  return BV_OUTCOME_EVALUATED;
}

/* Mass and stopping time of a disc brake: T. Ray, K. Liew, "A swarm metaphor
 * for multiobjective design optimization", Engineering Optimization 34, 2002;
 * the number of discs is whole. */
EVALUATE(disc_brake) {
  (void) context;
  double inner = e->x[0], outer = e->x[1], force = e->x[2], discs = e->x[3];
  double squares = outer * outer - inner * inner;
  double cubes = outer * outer * outer - inner * inner * inner;
  e->objectives[0] = 4.9e-5 * squares * (discs - 1);
  e->objectives[1] = 9.82e6 * squares / (force * discs * cubes);
  e->limits[0] = 1 - (outer - inner) / 20;
  e->limits[1] = 2.5 * (discs + 1) / 30 - 1;
  e->limits[2] = force / (3.14 * squares) / 0.4 - 1;
  e->limits[3] = 2.22e-3 * force * cubes / (squares * squares) - 1;
  e->limits[4] = 1 - 2.66e-2 * force * discs * cubes / squares / 900;
  return BV_OUTCOME_EVALUATED;
}

/* Error of the ratio and largest wheel of a gear train, all whole: Deb 2001,
 * after E. Sandgren, J. Mechanical Design 112, 1990. */
EVALUATE(gear_train) {
  (void) context;
  const double *x = e->x;
  double miss = 1 / 6.931 - x[0] * x[1] / (x[2] * x[3]);
  e->objectives[0] = miss * miss;
  e->objectives[1] = fmax(fmax(x[0], x[1]), fmax(x[2], x[3]));
  e->limits[0] = fabs(miss) * 6.931 / 0.5 - 1;
  return BV_OUTCOME_EVALUATED;
}

/* Weight, force and velocity of a car in a side impact: H. Jain, K. Deb, "An
 * evolutionary many-objective optimization algorithm, part II", IEEE Trans.
 * Evol. Comput. 18, 2014; coefficients from memory. */
EVALUATE(side_impact) {
  (void) context;
  const double *x = e->x - 1; /* as numbered in the paper */
  double force = 4.72 - 0.5 * x[4] - 0.19 * x[2] * x[3];
  double pillar = 10.58 - 0.674 * x[1] * x[2] - 0.67275 * x[2];
  double door = 16.45 - 0.489 * x[3] * x[7] - 0.843 * x[5] * x[6];
  double limited[] = {
      1.16 - 0.3717 * x[2] * x[4] - 0.0092928 * x[3],
      0.261 - 0.0159 * x[1] * x[2] - 0.06486 * x[1] - 0.019 * x[2] * x[7] +
          0.0144 * x[3] * x[5] + 0.0154464 * x[6],
      0.214 + 0.00817 * x[5] - 0.045195 * x[1] - 0.0135168 * x[1] +
          0.03099 * x[2] * x[6] - 0.018 * x[2] * x[7] + 0.007176 * x[3] +
          0.023232 * x[3] - 0.00364 * x[5] * x[6] - 0.018 * x[2] * x[2],
      0.74 - 0.61 * x[2] - 0.031296 * x[3] - 0.031872 * x[7] +
          0.227 * x[2] * x[2],
      28.98 + 3.818 * x[3] - 4.2 * x[1] * x[2] + 1.27296 * x[6] -
          2.68065 * x[7],
      33.86 + 2.95 * x[3] - 5.057 * x[1] * x[2] - 3.795 * x[2] - 3.4431 * x[7] +
          1.45728,
      46.36 - 9.9 * x[2] - 4.4505 * x[1],
      force,
      pillar,
      door};
  static const double most[] = {1, 0.32, 0.32, 0.32, 32, 32, 32, 4, 9.9, 15.7};
  e->objectives[0] = 1.98 + 4.9 * x[1] + 6.67 * x[2] + 6.98 * x[3] +
                     4.01 * x[4] + 1.78 * x[5] + 1e-5 * x[6] + 2.73 * x[7];
  e->objectives[1] = force;
  e->objectives[2] = 0.5 * (pillar + door);
  for (size_t i = 0; i < 10; i++)
    e->limits[i] = limited[i] / most[i] - 1;
  return BV_OUTCOME_EVALUATED;
}

#define WHOLE(from, to)                                                        \
  { .name = "n", .scale = BV_SCALE_WHOLE, .lo = (from), .hi = (to) }

static const bv_variable unit13[] = {REAL10(0, 1), REAL(0, 1), REAL(0, 1),
                                     REAL(0, 1)};
static const bv_variable kursawe_box[] = {REAL(-5, 5), REAL(-5, 5),
                                          REAL(-5, 5)};
static const bv_variable constr_box[] = {REAL(0.1, 1), REAL(0, 5)};
static const bv_variable four_bar_box[] = {
    REAL(1, 3), REAL(1.4142135623730951, 3), REAL(1.4142135623730951, 3),
    REAL(1, 3)};
static const bv_variable brake_box[] = {REAL(55, 80), REAL(75, 110),
                                        REAL(1000, 3000), WHOLE(2, 20)};
static const bv_variable gear_box[] = {WHOLE(12, 60), WHOLE(12, 60),
                                       WHOLE(12, 60), WHOLE(12, 60)};
static const bv_variable impact_box[] = {
    REAL(0.5, 1.5),     REAL(0.45, 1.35), REAL(0.5, 1.5), REAL(0.5, 1.5),
    REAL(0.875, 2.625), REAL(0.4, 1.2),   REAL(0.4, 1.2)};

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
    {"DTLZ1",
     "Deb, Thiele, Laumanns, Zitzler 2002",
     SLICE(unit30, 7, 3, 0, dtlz1),
     {0.6, 0.6, 0.6},
     0.19516667},
    {"DTLZ2-4",
     "Deb, Thiele, Laumanns, Zitzler 2002",
     PROBLEM(unit13, 4, 0, dtlz2_4),
     {1.1, 1.1, 1.1, 1.1},
     1.1556749},
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
    {"Four-bar truss",
     "Cheng, Li 1999",
     PROBLEM(four_bar_box, 2, 0, four_bar_truss),
     {3051, 0.0437},
     54.52905},
    {"Disc brake",
     "Ray, Liew 2002",
     PROBLEM(brake_box, 2, 5, disc_brake),
     {3.06, 18.11},
     42.19161},
    {"Gear train",
     "Sandgren 1990; Deb 2001",
     PROBLEM(gear_box, 2, 1, gear_train),
     {0.0052, 50},
     0.1146805955},
    {"Side impact",
     "Jain, Deb 2014",
     PROBLEM(impact_box, 3, 10, side_impact),
     {44.69, 4.041, 12.71},
     13.24718},
};

const size_t test_problem_count = sizeof test_problems / sizeof *test_problems;

const test_problem *test_problem_find(const char *name) {
  for (size_t i = 0; i < test_problem_count; i++)
    if (!strcmp(test_problems[i].name, name))
      return &test_problems[i];
  return NULL;
}
