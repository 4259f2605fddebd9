/* SPDX-License-Identifier: MIT */
/* Devices of engineering: beams, trusses, gears, a brake, a car. */
#include "search/problem_rows.h"

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

const test_problem device_problems[] = {
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

const size_t device_problem_count =
    sizeof device_problems / sizeof *device_problems;
