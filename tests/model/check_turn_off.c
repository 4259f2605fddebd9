/* SPDX-License-Identifier: MIT */
/* Turn-off of the switch into its own capacitance, the leakage and the clamp,
 * against a summation of the circuit in small steps. */
#include <math.h>
#include <stdbool.h>

#include "base/random.h"
#include "check_main.h"
#include "model/design_support.h"
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

static double step_of(const example *x) {
  double c = x->capacitance, w = x->clamp.capacitance;
  double shared = w > 0 ? c * w / (c + w) : c;
  return fmin(x->fall, sqrt(x->clamp.leakage * shared)) / 2000;
}

/* Until the winding is at its crest and the node rings about it reaching
 * neither the clamp nor the body diode any more. */
static bool going_on(const example *x, const run *r, double t) {
  const bv_clamp *c = &x->clamp;
  double crest = c->supply + x->reflected, off = r->node - crest;
  double ring = sqrt(off * off + c->leakage / x->capacitance * r->i * r->i);
  double most = fmin(crest, c->level - x->reflected);
  return t < x->fall || r->winding < crest || ring > 1.01 * most;
}

/* Energies by summation; what is left in leakage and node rings away and counts
 * with the clamp. The switch's body diode holds the node above zero, and what
 * flows in it comes back to the supply. */
static bv_turn_off summed(const example *x) {
  const bv_clamp *c = &x->clamp;
  double top = c->supply + c->level, dt = step_of(x);
  bv_turn_off sum = {0, 0};
  run r = {x->current, 0, 0, false};
  for (double t = 0; going_on(x, &r, t); t += dt) {
    double through = x->current * fmax(0, 1 - t / x->fall);
    move_winding(x, dt, &r);
    if (r.free)
      r.i += (r.winding - r.node) / c->leakage * dt;
    double next = fmax(0, r.node + (r.i - through) / x->capacitance * dt);
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

static double mean_of(const double *values, size_t count) {
  double sum = 0;
  for (size_t i = 0; i < count; i++)
    sum += values[i];
  return sum / (double) count;
}

static void check_errors(const char *what, double *values, size_t count,
                         double mean, double most) {
  double found = mean_of(values, count), nine = quantile(values, count, 0.9);
  ck_assert_msg(found < mean && nine < most, "%s: mean %g, 90 %% %g of %zu",
                what, found, nine, count);
}

/* A winding that lags behind takes current from the leakage early; where the
 * diodes come late the node rings on from the clamp, which may hold it again.
 */
START_TEST(meets_the_circuit_where_the_winding_lags) {
  enum { EXAMPLES = 200 };
  static double both[EXAMPLES];
  bv_random random = bv_random_keyed(32, 0, 0);
  for (int i = 0; i < EXAMPLES; i++) {
    example x = random_example(&random, 3, between(&random, 0.3, 10));
    bv_turn_off off = taken(&x), sum = summed(&x);
    check_between(off.overlap, sum.overlap, 0.91, 1.03, i);
    both[i] = fabs(log((off.overlap + off.clamp) / (sum.overlap + sum.clamp)));
  }
  check_errors("both", both, EXAMPLES, 0.048, 0.095);
}
END_TEST

typedef struct errors {
  size_t count;
  double overlap[800], both[800]; /* |ln(model/summed)| */
  double share[800];              /* of the loss of a mean cycle */
} errors;

static void add_error(const bv_design *d, double die, double current,
                      double reflected, errors *e) {
  const bv_circuit *c = &d->circuit;
  example x = {clamp_of_circuit(c), c->current_fall_time,
               die * c->switch_capacitance, current, reflected};
  bv_turn_off off = taken(&x), sum = summed(&x);
  double both = off.overlap + off.clamp, truly = sum.overlap + sum.clamp;
  e->overlap[e->count] = fabs(log(off.overlap / sum.overlap));
  e->both[e->count] = fabs(log(both / truly));
  e->share[e->count++] = fabs(both - truly) * d->cycles / d->loss_energy;
}

/* At the target and at half of it. */
static void add_errors(const bv_design *d, double die, errors *e) {
  const bv_circuit *c = &d->circuit;
  bv_charge charge;
  bv_charge_envelope(c, &charge);
  double wound = c->target_voltage + c->sections * c->diode_drop;
  for (int part = 1; part <= 2; part++)
    add_error(d, die, charge.primary_current_max, wound / c->turns_ratio / part,
              e);
}

/* Of a switch whose capacitance is a multiple of the design's own. */
static void find_errors(double die, errors *e) {
  e->count = 0;
  bv_random random = bv_random_keyed(41, 0, 0);
  for (int i = 0; i < 400; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    bv_design d = design_make(&job, &choice, BV_RELAXED);
    if (d.reason == BV_REASON_OK)
      add_errors(&d, die, e);
  }
  ck_assert_uint_gt(e->count, 400);
}

/* In designs the winding's capacitance is up to hundreds of times the switch's
 * and most clamp pulses are no longer than the fall. */
START_TEST(meets_the_circuits_of_designs) {
  static errors e;
  find_errors(1, &e);
  check_errors("overlap", e.overlap, e.count, 0.024, 0.049);
  check_errors("both", e.both, e.count, 0.09, 0.26);
  check_errors("share of the loss", e.share, e.count, 0.0076, 0.021);
}
END_TEST

START_TEST(meets_the_circuits_of_large_dies) {
  static errors e;
  find_errors(3, &e);
  check_errors("overlap", e.overlap, e.count, 0.012, 0.034);
  check_errors("both", e.both, e.count, 0.17, 0.385);
  check_errors("share of the loss", e.share, e.count, 0.0115, 0.0262);
}
END_TEST

/* The largest step of both where the reflected voltage grows to 0.9 of the
 * clamp's level in small ones, in their largest amount. */
static double largest_step(example *x) {
  enum { STEPS = 2000 };
  double step = 0, most = 0, last = 0;
  for (int i = 0; i <= STEPS; i++) {
    x->reflected = 0.9 * x->clamp.level * i / STEPS;
    bv_turn_off off = taken(x);
    double both = off.overlap + off.clamp;
    ck_assert(both >= 0);
    step = fmax(step, i > 0 ? fabs(both - last) : 0);
    most = fmax(most, both);
    last = both;
  }
  return step / most;
}

/* Quadratures over the output and searches for roots rely on it. */
START_TEST(does_not_jump_as_the_output_rises) {
  bv_random random = bv_random_keyed(42, 0, 0);
  for (int i = 0; i < 400; i++) {
    example x = random_example(&random, between(&random, 0.1, 6),
                               between(&random, 0.1, 100));
    double step = largest_step(&x);
    ck_assert_msg(step < 0.01, "example %d: %g of the most", i, step);
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
  x.clamp.capacitance = 30e-9; /* no leakage: one node with the winding */
  check_close(taken(&x).overlap, 25 * 9e-16 / (24 * 80e-9), 1e-9);
  x.clamp.capacitance = 0;
  x.clamp.leakage = 0.3e-6;
  x.capacitance = 0;
  check_close(taken(&x).overlap, (24 + 60) * 5 * 30e-9 / 2, 1e-12);
  check_close(taken(&x).clamp, 0.3e-6 * 25 / 2 * 100 / 40, 1e-12);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {meets_the_circuit,
                                meets_the_circuit_where_the_winding_lags,
                                meets_the_circuits_of_designs,
                                meets_the_circuits_of_large_dies,
                                does_not_jump_as_the_output_rises,
                                slow_switch_takes_the_leakage,
                                limits_are_the_lumped_forms,
                                NULL};
  return check_main("model/turn_off", tests);
}
