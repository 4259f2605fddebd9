/* SPDX-License-Identifier: MIT */
/* The ladder's formulas against a transfer of charges through ideal diodes,
 * diode by diode, to the steady state. */
#include <stdbool.h>

#include "base/constants.h"
#include "check_main.h"
#include "model/doubler_ladder.h"

enum { STAGES_MOST = 6, CYCLES_MOST = 40000 };

/* Column 0 moves with the source, column 1 stands on ground. */
typedef struct columns {
  int stages;
  double c, source;                 /* F, V */
  double volts[2][STAGES_MOST + 1]; /* capacitor j = 1 ... stages */
  double work;                      /* J from the source */
} columns;

static double node(const columns *x, int column, int stage) {
  double v = column == 0 ? x->source : 0;
  for (int j = 1; j <= stage; j++)
    v += x->volts[column][j];
  return v;
}

/* A charge that leaves (> 0) a column at a stage goes through all below. */
static void leave(columns *x, int column, int stage, double charge) {
  for (int j = 1; j <= stage; j++)
    x->volts[column][j] -= charge / x->c;
  if (column == 0)
    x->work += x->source * charge;
}

/* Lets one diode conduct until its ends are equal; whether it did. */
static bool conduct(columns *x, int from, int low, int to, int high) {
  double over = node(x, from, low) - node(x, to, high);
  if (!(over > 1e-8))
    return false;
  double charge = over * x->c / (low + high);
  leave(x, from, low, charge);
  leave(x, to, high, -charge);
  return true;
}

static void settle(columns *x, double source) {
  x->source = source;
  for (bool moved = true; moved;) {
    moved = false;
    for (int k = x->stages; k >= 1; k--) {
      bool up = conduct(x, 0, k, 1, k), down = conduct(x, 1, k - 1, 0, k);
      moved = moved || up || down;
    }
  }
}

typedef struct steady {
  double crest, trough, work;
} steady;

/* A cycle of the source, which goes from peak to -peak and back along a cosine
 * in a number of steps (2: a square wave). The load takes its charge half way
 * to the negative crest, the upper case. */
static steady cycle(columns *x, double peak, int steps, double charge) {
  steady s = {0, HUGE_VAL, 0};
  x->work = 0;
  for (int i = 0; i < steps; i++) {
    settle(x, peak * cos(2 * BV_PI * i / steps));
    double before = node(x, 1, x->stages);
    s.crest = fmax(s.crest, before);
    if (i == steps / 4)
      leave(x, 1, x->stages, charge);
    s.trough = fmin(s.trough, node(x, 1, x->stages));
  }
  s.work = x->work;
  return s;
}

static steady simulate(int stages, double peak, int steps, double charge) {
  columns x = {.stages = stages, .c = 10e-9};
  steady s = {0};
  double before = -1;
  for (int i = 0; i < CYCLES_MOST && fabs(s.crest - before) > 1e-8; i++) {
    before = s.crest;
    s = cycle(&x, peak, steps, charge);
  }
  ck_assert(fabs(s.crest - before) <= 1e-8);
  return s;
}

enum { SWING = 2000, SQUARE = 2 };
static const double current = 1e-3, frequency = 20e3, c = 10e-9;

/* The energy that leaves at the mean output over that from the source, with the
 * formula's drop in place of the smaller one here. */
START_TEST(ripple_and_efficiency_follow_from_the_charges) {
  double q = current / frequency;
  for (int k = 1; k <= 5; k++) {
    steady s = simulate(k, SWING / 2.0, SQUARE, q);
    double mean = (s.crest + s.trough) / 2;
    check_close(s.crest - s.trough, bv_ladder_ripple(k, current, frequency, c),
                1e-5);
    double drop = k * SWING - s.crest;
    double more = bv_ladder_drop(k, current, frequency, c) - drop;
    check_close(q * (mean - more) / s.work,
                bv_ladder_efficiency(SWING, k, current, frequency, c), 1e-6);
  }
}
END_TEST

/* Where the source steps, a diode near the output robs those below of their
 * last charge, and the drop is k^2 q/C; where it is smooth, all are level at
 * the crest as the formula has it: the finer the steps, the nearer, from below.
 * One stage is the same for both. */
START_TEST(drop_is_between_a_square_and_a_smooth_source) {
  double q = current / frequency;
  for (int k = 1; k <= 3; k++) {
    double formula = bv_ladder_drop(k, current, frequency, c);
    double square = k * SWING - simulate(k, SWING / 2.0, SQUARE, q).crest;
    double coarse = k * SWING - simulate(k, SWING / 2.0, 100, q).crest;
    double fine = k * SWING - simulate(k, SWING / 2.0, 1600, q).crest;
    check_close(square, k * k * q / c, 1e-5);
    check_close(fine, formula, 0.04);
    ck_assert(square <= formula * 1.00001 && fine <= formula * 1.00001);
    if (k > 1)
      ck_assert_double_lt(formula - fine, 0.45 * (formula - coarse));
  }
}
END_TEST

/* sqrt(100) = 10 for the cubic term alone. */
START_TEST(output_is_greatest_near_the_best_number) {
  double greatest = 0, at = 0;
  check_close(bv_ladder_best_stages(2000, 1e-3, 10e3, 10e-9), 10, 1e-12);
  for (int k = 1; k <= 20; k++) {
    double output = bv_ladder_output(2000, k, 1e-3, 10e3, 10e-9);
    if (output > greatest) {
      greatest = output;
      at = k;
    }
  }
  ck_assert(at >= 9 && at <= 10);
  ck_assert(isinf(bv_ladder_best_stages(2000, 0, 10e3, 10e-9)));
  ck_assert(isnan(bv_ladder_best_stages(2000, 1, 0, 10e-9)));
}
END_TEST

int main(void) {
  const TTest *const tests[] = {ripple_and_efficiency_follow_from_the_charges,
                                drop_is_between_a_square_and_a_smooth_source,
                                output_is_greatest_near_the_best_number, NULL};
  return check_main("model/ladder_charges", tests);
}
