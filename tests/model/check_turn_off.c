/* SPDX-License-Identifier: MIT */
/* Turn-off of the switch into its own capacitance, the leakage and the clamp,
 * against a summation of the circuit in small steps. */
#include <math.h>
#include <stdbool.h>

#include "base/random.h"
#include "check_main.h"
#include "model/switch.h"

typedef struct example {
  bv_clamp clamp;
  double fall, capacitance, current, reflected;
} example;

/* Currents and voltages while the circuit runs: of the leakage, the switch's
 * node, and the winding as seen there. */
typedef struct run {
  double i, node, winding;
  bool free; /* the diodes conduct, or the winding has its own capacitance */
} run;

/* The magnetising current charges the winding up to where the diodes conduct;
 * without capacitance the winding follows the node until then. */
static void move_winding(const example *x, double dt, run *r) {
  double crest = x->clamp.supply + x->reflected, c = x->clamp.capacitance;
  if (c > 0)
    r->winding = fmin(crest, r->winding + (x->current - r->i) / c * dt);
  else if (!r->free)
    r->winding = fmin(crest, r->node);
  r->free = c > 0 || r->winding >= crest;
}

/* Energies by summation until the leakage's current is gone; what is left in
 * leakage and node then rings away and counts with the clamp. */
static bv_turn_off summed(const example *x) {
  const bv_clamp *c = &x->clamp;
  double top = c->supply + c->level, dt = 5e-12;
  bv_turn_off sum = {0, 0};
  run r = {x->current, 0, 0, false};
  for (double t = 0; t < x->fall || r.i > 0; t += dt) {
    double through = x->current * fmax(0, 1 - t / x->fall);
    move_winding(x, dt, &r);
    if (r.free)
      r.i += (r.winding - r.node) / c->leakage * dt;
    double next = r.node + (r.i - through) / x->capacitance * dt;
    if (next > top)
      sum.clamp += c->level * x->capacitance * (next - top);
    next = fmin(next, top);
    sum.overlap += (r.node + next) / 2 * through * dt;
    r.node = next;
  }
  double off = r.node - r.winding;
  sum.clamp += c->leakage * r.i * r.i / 2 + x->capacitance * off * off / 2;
  return sum;
}

static double between(bv_random *random, double lo, double hi) {
  return lo * pow(hi / lo, bv_random_unit(random));
}

/* The clamp's pulse lasts `length` fall times and more, were the winding there
 * at once; the winding's capacitance is a multiple of the switch's. */
static example random_example(bv_random *random, double length,
                              double winding) {
  example x = {.fall = between(random, 8e-9, 5e-8),
               .current = between(random, 1, 40)};
  double supply = between(random, 5, 400);
  x.reflected = supply * between(random, 0.5, 4);
  double level = x.reflected * between(random, 1.2, 2.5);
  double pulse = x.fall * length * between(random, 1, 6);
  x.capacitance =
      x.current * x.fall / 2 / (supply + level) * between(random, 0.02, 2);
  x.clamp = (bv_clamp){pulse * (level - x.reflected) / x.current, level,
                       winding * x.capacitance, supply};
  return x;
}

static bv_turn_off taken(const example *x) {
  return bv_turn_off_take(&x->clamp, x->fall, x->capacitance, x->current,
                          x->reflected);
}

static void check_between(double value, double reference, double lo, double hi,
                          int index) {
  ck_assert_msg(value > lo * reference && value < hi * reference,
                "example %d: %g, summed %g", index, value, reference);
}

START_TEST(meets_the_circuit) {
  bv_random random = bv_random_keyed(31, 0, 0);
  for (int i = 0; i < 40; i++) {
    example x = random_example(&random, 1.2, 0);
    bv_turn_off off = taken(&x), sum = summed(&x);
    check_between(off.overlap, sum.overlap, 0.99, 1.01, i);
    check_between(off.clamp, sum.clamp, 0.97, 1.05, i);
  }
}
END_TEST

/* A winding that lags behind takes current from the leakage early: more so in
 * the clamp than in what the switch still carries. */
START_TEST(is_mostly_above_where_the_winding_lags) {
  bv_random random = bv_random_keyed(32, 0, 0);
  for (int i = 0; i < 40; i++) {
    example x = random_example(&random, 3, between(&random, 0.3, 10));
    bv_turn_off off = taken(&x), sum = summed(&x);
    check_between(off.overlap, sum.overlap, 0.99, 1.15, i);
    check_between(off.overlap + off.clamp, sum.overlap + sum.clamp, 0.9, 1.3,
                  i);
  }
}
END_TEST

/* A fall so slow that the leakage drives the node not to the clamp: the
 * switch takes the leakage's energy. */
START_TEST(slow_switch_takes_the_leakage) {
  example x = {{0.1e-6, 100, 0, 24}, 200e-9, 1e-15, 5, 60};
  bv_turn_off off = taken(&x);
  ck_assert(off.clamp == 0);
  check_close(off.overlap, (24 + 60) * 5 * 200e-9 / 2 + 0.1e-6 * 25 / 2, 1e-3);
  x.fall = 1e-13;
  off = taken(&x);
  check_close(off.clamp, 0.1e-6 * 25 / 2 * 100 / 40, 1e-3);
}
END_TEST

/* Without leakage, and where the switch's capacitance is not told. */
START_TEST(limits_are_the_lumped_forms) {
  example x = {{0, 100, 0, 24}, 30e-9, 1e-15, 5, 60};
  check_close(taken(&x).overlap, (24 + 60) * 5 * 30e-9 / 2, 2e-3);
  ck_assert(taken(&x).clamp == 0);
  x.capacitance = 50e-9;
  check_close(taken(&x).overlap, 25 * 9e-16 / (24 * 50e-9), 1e-9);
  x.clamp.leakage = 0.3e-6;
  x.capacitance = 0;
  check_close(taken(&x).overlap, (24 + 60) * 5 * 30e-9 / 2, 1e-12);
  check_close(taken(&x).clamp, 0.3e-6 * 25 / 2 * 100 / 40, 1e-12);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      meets_the_circuit, is_mostly_above_where_the_winding_lags,
      slow_switch_takes_the_leakage, limits_are_the_lumped_forms, NULL};
  return check_main("model/turn_off", tests);
}
