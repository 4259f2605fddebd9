/* SPDX-License-Identifier: MIT */
#include "model/windingloss.h"

#include <complex.h>

#include "base/constants.h"
#include "base/random.h"
#include "check_main.h"
#include "model/acresistance.h"

/* The reference: the same one-dimensional field summed over harmonics, from the
 * frequency-domain functions, layer by layer. The rest of a sum cut at K goes
 * as a/sqrt(K) + b/K, which the sums at K, 4 K and 16 K give. */

typedef struct scene {
  bv_eddy_stack stack;
  bv_flyback_times times;
} scene;

static double complex phasor(bv_ac_phasor p) {
  union {
    bv_ac_phasor parts;
    double complex value;
  } number = {p};
  return number.value;
}

/* Mean square MMF of the layers, one by one. */
static double layers_field(double complex inner, double complex own,
                           double share, int layers) {
  double sum = 0;
  for (int j = 1; j <= layers; j++) {
    double complex m = inner - (j - 0.5) / layers * share * own;
    sum += creal(m * conj(m));
  }
  return sum;
}

/* Proximity loss of a unit mean square MMF, from the round-wire form of two
 * layers, whose own mean square is (4 * 4 - 1)/12. */
static double proximity(const bv_eddy_winding *w, double delta) {
  double alone = bv_ac_round_wire(w->diameter / (2 * delta));
  double two = bv_ac_round(w->diameter, w->pitch, delta, 2);
  return (two - alone) / (15.0 / 12);
}

/* The primary's and the secondary's current of peak 1, with straight
 * commutation. */
static void currents(const bv_flyback_times *t, unsigned k, double complex *one,
                     double complex *two) {
  double c = t->commutation, T = t->period, turn = t->rise;
  *one = phasor(bv_ac_ramp_harmonic(0, turn, 0, 1, T, k));
  *two = phasor(bv_ac_ramp_harmonic(turn + c, t->fall - c, 1, 0, T, k));
  if (c > 0) {
    *one += phasor(bv_ac_ramp_harmonic(turn, c, 1, 0, T, k));
    *two += phasor(bv_ac_ramp_harmonic(turn, c, 0, 1, T, k));
  }
}

static void add_harmonic(const scene *s, unsigned k, double *primary,
                         double *secondary) {
  const bv_eddy_stack *st = &s->stack;
  const bv_flyback_times *t = &s->times;
  double complex one, two;
  currents(t, k, &one, &two);
  double delta = sqrt(st->resistivity * t->period / (BV_PI * BV_MU0 * k));
  double complex net = one + two, in = st->gap_share * net;
  double p = st->primary.layers, q = st->secondary.layers;
  double field1, field2;
  if (st->interleaved) {
    field1 = layers_field(in, one, 0.5, (int) p / 2) +
             layers_field(in - one / 2 - two, one, 0.5, (int) p / 2);
    field2 = layers_field(in - one / 2, two, 1, (int) q);
  } else {
    field1 = layers_field(in, one, 1, (int) p);
    field2 = layers_field(in - one, two, 1, (int) q);
  }
  *primary += (creal(one * conj(one)) *
                   bv_ac_round_wire(st->primary.diameter / (2 * delta)) +
               proximity(&st->primary, delta) * p * field1) /
              2;
  *secondary += (creal(two * conj(two)) *
                     bv_ac_round_wire(st->secondary.diameter / (2 * delta)) +
                 proximity(&st->secondary, delta) * q * field2) /
                2;
}

static double extrapolated(const double *sums) {
  double first = 2 * sums[1] - sums[0], second = 2 * sums[2] - sums[1];
  return (4 * second - first) / 3;
}

/* Over the dc loss; the mean of a ramp is half its duty, its mean square a
 * third. */
static bv_eddy_factors by_harmonics(const scene *s, unsigned most) {
  const bv_flyback_times *t = &s->times;
  double duty[2] = {t->rise / t->period, t->fall / t->period};
  double all[2] = {duty[0] * duty[0] / 4, duty[1] * duty[1] / 4};
  double sums[2][3];
  for (unsigned k = 1, cut = 0; k <= 16 * most; k++) {
    add_harmonic(s, k, &all[0], &all[1]);
    if (k == most || k == 4 * most || k == 16 * most) {
      sums[0][cut] = all[0];
      sums[1][cut++] = all[1];
    }
  }
  return (bv_eddy_factors){3 * extrapolated(sums[0]) / duty[0],
                           3 * extrapolated(sums[1]) / duty[1]};
}

static double log_between(bv_random *random, double lo, double hi) {
  return lo * pow(hi / lo, bv_random_unit(random));
}

static scene random_scene(bv_random *random) {
  scene s;
  double period = log_between(random, 3e-6, 100e-6);
  double dead = 0.2 * bv_random_unit(random);
  double duty = log_between(random, 0.02, 0.9);
  s.times = (bv_flyback_times){period * (1 - dead) * duty,
                               period * (1 - dead) * (1 - duty), period, 0};
  double d1 = log_between(random, 0.1e-3, 2e-3);
  double d2 = log_between(random, 0.05e-3, 0.5e-3);
  s.stack = (bv_eddy_stack){{d1, 1, d1 * (1.1 + bv_random_unit(random)),
                             2 + 2 * (double) bv_random_below(random, 3), 0},
                            {d2, 1, d2 * (1.1 + bv_random_unit(random)),
                             1 + (double) bv_random_below(random, 12), 0},
                            bv_random_below(random, 2) == 1,
                            0.5 + 0.5 * (double) bv_random_below(random, 2),
                            2.2e-8,
                            0,
                            0,
                            0,
                            0};
  return s;
}

START_TEST(factors_are_the_sum_over_harmonics) {
  bv_random random = bv_random_keyed(7, 0, 0);
  double worst = 0;
  for (int i = 0; i < 40; i++) {
    scene s = random_scene(&random);
    bv_eddy_factors quick = bv_winding_eddy(&s.stack, &s.times);
    bv_eddy_factors slow = by_harmonics(&s, 500);
    worst = fmax(worst, fabs(quick.primary / slow.primary - 1));
    worst = fmax(worst, fabs(quick.secondary / slow.secondary - 1));
  }
  ck_assert_msg(worst < 5e-4, "worst relative error %g", worst);
}
END_TEST

/* Ten skin depths and a short pulse: no mode settles. */
START_TEST(thick_wire_in_short_pulses_too) {
  scene s = {{.primary = {2e-3, 1, 2.4e-3, 2, 0},
              .secondary = {0.5e-3, 1, 0.65e-3, 6, 0},
              .gap_share = 1,
              .resistivity = 2.2e-8},
             {0.12e-6, 3.68e-6, 4e-6, 0}};
  bv_eddy_factors quick = bv_winding_eddy(&s.stack, &s.times);
  bv_eddy_factors slow = by_harmonics(&s, 1000);
  check_close(quick.primary, slow.primary, 5e-4);
  check_close(quick.secondary, slow.secondary, 5e-4);
}
END_TEST

/* With a commutation of 1 % of the shorter ramp: the wire's loss falls, the
 * approximation is within 3 %, part of which is the ramps
 * themselves. */
START_TEST(commutation_takes_loss_away) {
  bv_random random = bv_random_keyed(10, 0, 0);
  double worst = 0;
  for (int i = 0; i < 30; i++) {
    scene s = random_scene(&random);
    bv_eddy_factors jump = bv_winding_eddy(&s.stack, &s.times);
    s.times.commutation = 0.01 * fmin(s.times.rise, s.times.fall);
    bv_eddy_factors quick = bv_winding_eddy(&s.stack, &s.times);
    bv_eddy_factors slow = by_harmonics(&s, 500);
    ck_assert_double_lt(quick.primary, jump.primary);
    ck_assert_double_lt(quick.secondary, jump.secondary);
    worst = fmax(worst, fabs(quick.primary / slow.primary - 1));
    worst = fmax(worst, fabs(quick.secondary / slow.secondary - 1));
  }
  ck_assert_msg(worst < 0.03, "worst relative error %g", worst);
}
END_TEST

/* A secondary under a gap in the centre leg sees no field but its own: the
 * stranded wire of the frequency domain, weighted by the ramp's harmonics. */
static double stranded(double delta, const void *winding) {
  const bv_eddy_winding *w = winding;
  return bv_ac_stranded(w->diameter, w->strands, w->pitch, delta, w->layers);
}

START_TEST(stranded_secondary_is_that_of_the_frequency_domain) {
  const bv_eddy_winding wire = {0.1e-3, 40, 1.1e-3, 3, 0};
  bv_eddy_stack stack = {.primary = {0.5e-3, 1, 0.6e-3, 2, 0},
                         .secondary = wire,
                         .gap_share = 1,
                         .resistivity = 2.2e-8};
  bv_flyback_times times = {4e-6, 5e-6, 10e-6, 0};
  enum { HARMONICS = 16000 };
  static double amplitudes[HARMONICS];
  for (unsigned k = 1; k <= HARMONICS; k++)
    amplitudes[k - 1] =
        cabs(phasor(bv_ac_ramp_harmonic(4e-6, 5e-6, 1, 0, 10e-6, k)));
  double delta = sqrt(stack.resistivity * times.period / (BV_PI * BV_MU0));
  double cuts[3];
  for (int i = 0; i < 3; i++)
    cuts[i] = bv_ac_harmonic_ratio(stranded, &wire, delta, 0.25, amplitudes,
                                   HARMONICS >> (4 - 2 * i));
  double slow = extrapolated(cuts);
  ck_assert_double_gt(slow, 1.1);
  check_close(bv_winding_eddy(&stack, &times).secondary, slow, 2e-3);
}
END_TEST

/* Half a layer is a layer of twice the pitch; half a primary of half a layer
 * too. */
START_TEST(part_layers_are_layers_of_wider_pitch) {
  bv_random random = bv_random_keyed(8, 0, 0);
  for (int i = 0; i < 10; i++) {
    scene s = random_scene(&random);
    double layers = s.stack.interleaved ? 2 : 1;
    s.stack.primary.layers = layers;
    bv_eddy_factors full = bv_winding_eddy(&s.stack, &s.times);
    s.stack.primary.layers = layers / 2;
    s.stack.primary.pitch /= 2;
    bv_eddy_factors part = bv_winding_eddy(&s.stack, &s.times);
    check_close(part.primary, full.primary, 1e-12);
  }
}
END_TEST

/* Two windings wound apart lie in each other's field; interleaved, the field of
 * the transformer part is a quarter, but not the gap's. */
START_TEST(interleaving_helps_and_the_gap_limits_it) {
  bv_eddy_stack stack = {.primary = {0.5e-3, 1, 0.6e-3, 4, 0},
                         .secondary = {0.2e-3, 1, 0.25e-3, 8, 0},
                         .gap_share = 0.5,
                         .resistivity = 2.2e-8};
  bv_flyback_times times = {5e-6, 5e-6, 10e-6, 0};
  bv_eddy_factors apart = bv_winding_eddy(&stack, &times);
  stack.interleaved = true;
  bv_eddy_factors split = bv_winding_eddy(&stack, &times);
  ck_assert_double_lt(split.primary, apart.primary);
  ck_assert_double_gt(split.primary, 1 + (apart.primary - 1) / 4);
}
END_TEST

/* Mean square along the leg of the field of a thin gap of MMF 1 in it, by its
 * images in the yokes: circles about each, 1/(pi r). */
static double image_field(double width, double x) {
  enum { STEPS = 400, IMAGES = 400 };
  double sum = 0;
  for (int k = 0; k < STEPS; k++) {
    double z = width * ((k + 0.5) / STEPS - 0.5), along = 0, across = 0;
    for (int m = -IMAGES; m <= IMAGES; m++) {
      double away = z - m * width, square = away * away + x * x;
      along += x / (BV_PI * square);
      across += away / (BV_PI * square);
    }
    sum += along * along + across * across;
  }
  return sum / STEPS;
}

/* Mean square field of the gap with its bulge over that without, in either
 * winding of a stack. The loss goes as the square of the gap's share g, so its
 * second difference over g is twice what the even field loses alone. */
static bv_eddy_factors bulge(bv_eddy_stack stack) {
  bv_flyback_times times = {4e-6, 5e-6, 10e-6, 0};
  bv_eddy_factors even[3], bulged;
  stack.gap_share = 1;
  bulged = bv_winding_eddy(&stack, &times);
  stack.width = 0;
  for (int g = 0; g < 3; g++) {
    stack.gap_share = g;
    even[g] = bv_winding_eddy(&stack, &times);
  }
  double first = even[2].primary - 2 * even[1].primary + even[0].primary;
  double second = even[2].secondary - 2 * even[1].secondary + even[0].secondary;
  return (bv_eddy_factors){1 + 2 * (bulged.primary - even[1].primary) / first,
                           1 + 2 * (bulged.secondary - even[1].secondary) /
                                   second};
}

/* Thin windings at x, x + 1 mm and, the outer half of an interleaved primary,
 * x + 2 mm from the leg. */
START_TEST(gap_field_is_that_of_its_images) {
  const double width = 18e-3, square = width * width;
  for (double x = 1e-3; x < 4e-3; x *= 1.5) {
    bv_eddy_stack stack = {.primary = {0.1e-3, 1, 0.2e-3, 2, 1e-6},
                           .secondary = {0.2e-3, 1, 0.25e-3, 8, 1e-6},
                           .resistivity = 2.2e-8,
                           .width = width,
                           .floor = x,
                           .barrier = 1e-3};
    double inner = square * image_field(width, x);
    double middle = square * image_field(width, x + 1e-3);
    double outer = square * image_field(width, x + 2e-3);
    check_close(bulge(stack).primary, inner, 5e-3);
    check_close(bulge(stack).secondary, middle, 5e-3);
    stack.interleaved = true;
    check_close(bulge(stack).primary, (inner + outer) / 2, 5e-3);
    check_close(bulge(stack).secondary, middle, 5e-3);
  }
}
END_TEST

/* Windings that leave margins: their even field is that of the breadth, the
 * bulge stays the window's, which a window of twice the breadth shows as a
 * quarter. */
START_TEST(gap_field_is_the_windows_and_not_the_windings) {
  const double width = 18e-3, breadth = 9e-3, x = 1.5e-3;
  bv_eddy_stack stack = {.primary = {0.1e-3, 1, 0.2e-3, 2, 1e-6},
                         .secondary = {0.2e-3, 1, 0.25e-3, 8, 1e-6},
                         .resistivity = 2.2e-8,
                         .width = width,
                         .breadth = breadth,
                         .floor = x,
                         .barrier = 1e-3};
  double even = 1 / (width * width), square = breadth * breadth;
  double inner = square * (image_field(width, x) - even);
  double middle = square * (image_field(width, x + 1e-3) - even);
  check_close(bulge(stack).primary, 1 + inner, 5e-3);
  check_close(bulge(stack).secondary, 1 + middle, 5e-3);
}
END_TEST

/* The same mean from a thick part as from many thin ones. */
START_TEST(gap_field_is_averaged_over_the_build) {
  bv_flyback_times times = {4e-6, 5e-6, 10e-6, 0};
  bv_eddy_stack stack = {.primary = {0.1e-3, 1, 0.2e-3, 1, 2e-3},
                         .secondary = {0.2e-3, 1, 0.25e-3, 8, 1e-3},
                         .gap_share = 1,
                         .resistivity = 2.2e-8,
                         .width = 18e-3,
                         .floor = 1e-3};
  double whole = bv_winding_eddy(&stack, &times).primary, sum = 0;
  stack.primary.build /= 100;
  for (int i = 0; i < 100; i++) {
    sum += bv_winding_eddy(&stack, &times).primary;
    stack.floor += stack.primary.build;
  }
  check_close(sum / 100, whole, 1e-9);
}
END_TEST

/* Against many points of the charge, weighted cycle by cycle. */
START_TEST(charge_factors_are_means_over_the_charge) {
  bv_random random = bv_random_keyed(9, 0, 0);
  for (int i = 0; i < 20; i++) {
    scene s = random_scene(&random);
    bv_flyback_charge charge = {s.times.rise, s.times.fall, 1e-6,
                                i % 2 ? 0.3 : 0, 20e-9};
    bv_eddy_factors quick = bv_winding_eddy_charge(&s.stack, &charge);
    double sums[4] = {0, 0, 0, 0};
    enum { POINTS = 1000 };
    for (int k = 0; k < POINTS; k++) {
      double v = charge.start + (1 - charge.start) * (k + 0.5) / POINTS;
      double fall = charge.fall_end / v;
      bv_flyback_times times = {charge.rise, fall, charge.rise + fall + 1e-6,
                                20e-9};
      bv_eddy_factors f = bv_winding_eddy(&s.stack, &times);
      sums[0] += v * f.primary;
      sums[1] += v;
      sums[2] += v * fall * f.secondary;
      sums[3] += v * fall;
    }
    check_close(quick.primary, sums[0] / sums[1], 2e-2);
    check_close(quick.secondary, sums[2] / sums[3], 2e-2);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      factors_are_the_sum_over_harmonics,
      thick_wire_in_short_pulses_too,
      commutation_takes_loss_away,
      stranded_secondary_is_that_of_the_frequency_domain,
      part_layers_are_layers_of_wider_pitch,
      interleaving_helps_and_the_gap_limits_it,
      gap_field_is_that_of_its_images,
      gap_field_is_the_windows_and_not_the_windings,
      gap_field_is_averaged_over_the_build,
      charge_factors_are_means_over_the_charge,
      NULL};
  return check_main("model/windingloss", tests);
}
