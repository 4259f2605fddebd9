/* SPDX-License-Identifier: MIT */
/* Cycles at many outputs at once, against the same one by one, and the plain
 * version of what finds them against that for wide vectors. */
#define BV_WIDE
#define bv_lanes_fit plain_fit
#define bv_lanes_find plain_find
#define bv_lanes_cycle plain_cycle
#define bv_lanes_sum plain_sum
#define bv_lanes_rest plain_rest
#define bv_lanes_turn_off plain_turn_off
#define bv_cycle_first plain_first
#include "model/cycle_first.c"
#include "model/cycle_lanes.c"
#include "model/cycle_lanes_ring.c"
#include "model/cycle_lanes_switch.c"
#undef bv_lanes_fit
#undef bv_lanes_find
#undef bv_lanes_cycle
#undef bv_lanes_sum
#undef bv_lanes_rest
#undef bv_lanes_turn_off
#undef bv_cycle_first

#include "charge_examples.h"
#include "check_main.h"

bool bv_lanes_fit(const bv_stage *stage);
void bv_lanes_find(const bv_stage *stage, size_t count, const double *outputs,
                   bv_lanes *restrict x);
void bv_lanes_cycle(const bv_stage *stage, const bv_lanes *x, size_t i,
                    bv_cycle *cycle);
void bv_lanes_sum(const bv_lanes *restrict x, const double *weights,
                  bv_flow *sums);
void bv_cycle_first(const bv_stage *stage, double output,
                    bv_release first[BV_FIRST_CYCLES]);

enum { OUTPUTS = 14 };

/* Over the charge, and four about where a ring first comes to zero volts. */
static void spread(const bv_stage *stage, double outputs[OUTPUTS]) {
  double first = stage->n * stage->vin / stage->ring_low - stage->drop;
  bool comes = stage->ring_low > 0 && 1.3 * first < stage->target;
  for (int i = 0; i < OUTPUTS; i++)
    outputs[i] = stage->target * (0.03 + 0.97 * i / (OUTPUTS - 1));
  for (int i = 0; comes && i < 4; i++)
    outputs[i + 4] = first * (1 + 1e-4 * pow(12, i));
}

static double on_time(const bv_circuit *c) {
  return c->primary_inductance * c->peak_current / c->supply_voltage;
}

/* Held back, by blanking and by the shortest period; with and without what the
 * turn-off takes; with much damping. */
static bv_circuit variant(uint64_t i) {
  bv_circuit c = charge_example(41, i, 3000);
  double on = on_time(&c);
  if (i % 10 == 7)
    c.off_time_limit = 1.5 * on;
  if (i % 7 == 1)
    c.comparator_blanking = 1.5 * on;
  if (i % 8 == 2)
    c.max_frequency = 0.3 / on;
  if (i % 5 == 3)
    c.node_capacitance_winding = 0.6 * c.node_capacitance;
  if (i % 7 == 4)
    c.switch_capacitance = 0.7 * c.node_capacitance;
  if (i % 11 == 6)
    c.current_fall_time = 0;
  if (i % 13 == 2)
    c.leakage_inductance = 0;
  if (i % 6 == 4)
    c.node_capacitance = c.switch_capacitance = 0;
  if (i % 9 == 5)
    c.primary_resistance = 0.15 * c.supply_voltage / c.peak_current;
  if (i % 9 == 5 && i % 2 == 0) {
    c.node_capacitance = 0.09 * on * on / c.primary_inductance;
    c.turns_ratio = 0.7 * c.target_voltage / c.supply_voltage;
    c.clamp_voltage = 3 * c.supply_voltage;
  }
  return c;
}

/* What a member is compared with, beside the greatest of all outputs: at
 * turn-on little is left of current and voltage. */
static double scale_of(const bv_stage *stage, size_t member) {
  if (member == offsetof(bv_cycle, low_current) / sizeof(double))
    return stage->peak;
  if (member == offsetof(bv_cycle, flow.turn_on) / sizeof(double))
    return stage->csw * stage->vin * stage->vin / 2;
  return 0;
}

static void check_same(const bv_stage *stage, const bv_cycle *several,
                       const bv_cycle *alone, size_t count, int example) {
  const size_t members = sizeof *alone / sizeof(double);
  const double *x = (const double *) several, *y = (const double *) alone;
  for (size_t m = 0; m < members; m++) {
    double most = scale_of(stage, m);
    for (size_t i = 0; i < count; i++)
      most = fmax(most, fabs(y[i * members + m]));
    for (size_t i = 0; i < count; i++) {
      double a = x[i * members + m], b = y[i * members + m];
      ck_assert_msg(fabs(a - b) <= 1e-8 * most,
                    "example %d, member %zu: %.12g, alone %.12g", example, m, a,
                    b);
    }
  }
}

/* How many cycles there are before the first that is missing. */
static size_t check_alike(const bv_circuit *circuit, int example) {
  bv_stage stage;
  double outputs[OUTPUTS];
  bv_cycle several[OUTPUTS], alone[OUTPUTS];
  size_t done, i = 0;
  ck_assert_int_eq(bv_stage_make(circuit, &stage), BV_REASON_OK);
  spread(&stage, outputs);
  bv_reason told =
      bv_cycle_each(&stage, OUTPUTS, outputs, NULL, several, &done);
  bv_reason reason = BV_REASON_OK;
  for (; i < OUTPUTS && reason == BV_REASON_OK; i += reason == BV_REASON_OK)
    reason = bv_cycle_at(&stage, outputs[i], &alone[i]);
  ck_assert_uint_eq(done, i);
  ck_assert_int_eq(told, reason);
  check_same(&stage, several, alone, done, example);
  return done;
}

START_TEST(side_by_side_is_one_by_one) {
  for (uint64_t i = 0; i < 500; i++) {
    bv_circuit c = variant(i);
    ck_assert_uint_eq(check_alike(&c, (int) i), OUTPUTS);
  }
}
END_TEST

START_TEST(a_doubler_is_taken_one_by_one) {
  for (uint64_t i = 0; i < 20; i++) {
    bv_circuit c = charge_example_doubler(42, i, 3000);
    ck_assert_uint_eq(check_alike(&c, (int) i), OUTPUTS);
  }
}
END_TEST

/* A clamp that the reflected voltage passes on the way. */
START_TEST(the_first_that_is_missing_is_told) {
  size_t before = 0;
  for (int share = 1; share < 6; share++) {
    bv_circuit c = charge_example(43, 3, 3000);
    c.clamp_voltage = c.target_voltage / c.turns_ratio * share / 6;
    size_t done = check_alike(&c, share);
    ck_assert_uint_ge(done, before);
    ck_assert_uint_lt(done, OUTPUTS);
    before = done;
  }
  ck_assert_uint_gt(before, 2);
}
END_TEST

typedef void finder(const bv_stage *stage, size_t count, const double *outputs,
                    bv_lanes *restrict x);

/* Lays out those that are found. */
static void find_by(finder *find, const bv_stage *stage, size_t count,
                    const double *outputs, bv_cycle *cycles, bool *found) {
  bv_lanes x;
  find(stage, count, outputs, &x);
  for (size_t i = 0; i < count; i++) {
    found[i] = bv_lanes_hold(&x, i);
    if (found[i])
      bv_lanes_cycle(stage, &x, i, &cycles[i]);
  }
}

/* Nine in ten, with an off-time limit in half of the circuits that ends many.
 */
START_TEST(most_are_found_side_by_side) {
  size_t all = 0, most = 0;
  for (uint64_t i = 0; i < 300; i++) {
    bv_circuit c = charge_example(44, i, 3000);
    bv_stage stage;
    double outputs[OUTPUTS];
    bv_cycle cycles[OUTPUTS];
    bool found[OUTPUTS];
    c.off_time_limit = i % 2 == 0 ? HUGE_VAL : 1.5 * on_time(&c);
    ck_assert_int_eq(bv_stage_make(&c, &stage), BV_REASON_OK);
    spread(&stage, outputs);
    if (bv_lanes_fit(&stage))
      find_by(bv_lanes_find, &stage, OUTPUTS, outputs, cycles, found);
    for (size_t k = 0; bv_lanes_fit(&stage) && k < OUTPUTS; k++)
      most += found[k];
    all += OUTPUTS;
  }
  ck_assert_msg(10 * most > 9 * all, "%zu of %zu", most, all);
}
END_TEST

/* Neither does a cycle depend on how many others there are, or on its place
 * among them. */
START_TEST(wide_vectors_change_no_bit) {
  for (uint64_t i = 0; i < 300; i++) {
    bv_circuit c = variant(i);
    bv_stage stage;
    double outputs[OUTPUTS];
    bv_cycle wide[OUTPUTS], plain[OUTPUTS];
    bool found[OUTPUTS], same[OUTPUTS];
    ck_assert_int_eq(bv_stage_make(&c, &stage), BV_REASON_OK);
    if (!bv_lanes_fit(&stage))
      continue;
    spread(&stage, outputs);
    find_by(bv_lanes_find, &stage, OUTPUTS, outputs, wide, found);
    find_by(plain_find, &stage, OUTPUTS, outputs, plain, same);
    for (size_t k = 0; k < OUTPUTS; k++) {
      bv_cycle alone;
      bool one;
      find_by(bv_lanes_find, &stage, 1, &outputs[k], &alone, &one);
      ck_assert_int_eq(found[k], same[k]);
      ck_assert_int_eq(found[k], one);
      if (!one)
        continue;
      ck_assert_mem_eq(&wide[k], &plain[k], sizeof *wide);
      ck_assert_mem_eq(&wide[k], &alone, sizeof alone);
    }
  }
}
END_TEST

/* Weighted sums against those of the cycles laid out, and by plain vectors. */
START_TEST(sums_are_those_of_the_cycles) {
  for (uint64_t i = 0; i < 300; i++) {
    bv_circuit c = variant(i);
    bv_stage stage;
    bv_lanes x;
    double outputs[OUTPUTS], weights[BV_CYCLE_EACH_MOST] = {0};
    bv_flow sums = {0}, wide = {0}, plain = {0};
    ck_assert_int_eq(bv_stage_make(&c, &stage), BV_REASON_OK);
    if (!bv_lanes_fit(&stage))
      continue;
    spread(&stage, outputs);
    bv_lanes_find(&stage, OUTPUTS, outputs, &x);
    for (size_t k = 0; k < OUTPUTS; k++) {
      bv_cycle cycle;
      if (k % 4 == 3 || !bv_lanes_hold(&x, k))
        continue;
      weights[k] = 1 + (double) k / 3;
      bv_lanes_cycle(&stage, &x, k, &cycle);
      bv_flow_add(&sums, weights[k], &cycle.flow);
    }
    bv_lanes_sum(&x, weights, &wide);
    plain_sum(&x, weights, &plain);
    ck_assert_mem_eq(&wide, &plain, sizeof wide);
    const double *a = (const double *) &wide, *b = (const double *) &sums;
    for (size_t m = 0; m < sizeof sums / sizeof *a; m++)
      ck_assert_msg(fabs(a[m] - b[m]) <= 1e-14 * fabs(b[m]), "member %zu", m);
  }
}
END_TEST

/* Runs the first cycles, with steps 3 and 4 as told. */
static bv_state run_first(const bv_stage *stage, const bv_release *told,
                          bv_flow *sums) {
  bv_state state = bv_state_start(stage, 0);
  for (int k = 0; k < BV_FIRST_CYCLES; k++) {
    bv_cycle cycle;
    bool done;
    ck_assert_int_eq(bv_cycle_next_told(stage, &told[k], &state, &cycle, &done),
                     BV_REASON_OK);
    bv_flow_add(sums, 1, &cycle.flow);
  }
  return state;
}

static void check_share(const char *what, double off, double whole,
                        double share) {
  ck_assert_msg(fabs(off) <= share * whole, "%s: %.3g of %.3g", what, off,
                whole);
}

static double lost(const bv_flow *f) {
  return f->clamp + f->overlap + f->turn_on + f->core;
}

/* The first cycles of 3000 with steps 3 and 4 found at outputs that are
 * guessed, against the same in full: energies by that of one cycle. */
START_TEST(first_cycles_as_guessed_are_those_in_full) {
  static const bv_release unknown[BV_FIRST_CYCLES];
  size_t known = 0, all = 0;
  for (uint64_t i = 0; i < 500; i++) {
    bv_circuit c = variant(i);
    bv_stage s;
    bv_release told[BV_FIRST_CYCLES];
    bv_flow a = {0}, b = {0};
    ck_assert_int_eq(bv_stage_make(&c, &s), BV_REASON_OK);
    bv_cycle_first(&s, 0, told);
    for (int k = 0; k < BV_FIRST_CYCLES; k++, all++)
      known += told[k].peak > 0;
    double x = run_first(&s, told, &a).output;
    double y = run_first(&s, unknown, &b).output;
    double energy = s.l * s.peak * s.peak / 2;
    check_share("output", s.c * (x - y) * (x + y) / 2, energy, 0.02);
    check_share("losses", lost(&a) - lost(&b), energy, 0.02);
    check_share("supply", s.vin * (a.primary_charge - b.primary_charge), energy,
                0.01);
    check_share("time", a.time - b.time, b.time, 0.002);
    check_share("square", a.output_square - b.output_square, b.output_square,
                0.005);
  }
  ck_assert_msg(10 * known > 9 * all, "%zu of %zu", known, all);
}
END_TEST

START_TEST(wide_vectors_change_no_bit_of_the_first) {
  for (uint64_t i = 0; i < 300; i++) {
    bv_circuit c = variant(i);
    bv_stage stage;
    bv_release wide[BV_FIRST_CYCLES], plain[BV_FIRST_CYCLES];
    ck_assert_int_eq(bv_stage_make(&c, &stage), BV_REASON_OK);
    bv_cycle_first(&stage, 0, wide);
    plain_first(&stage, 0, plain);
    for (int k = 0; k < BV_FIRST_CYCLES; k++) {
      ck_assert(wide[k].peak == plain[k].peak);
      if (wide[k].peak > 0)
        ck_assert_mem_eq(&wide[k], &plain[k], sizeof *wide);
    }
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {side_by_side_is_one_by_one,
                                a_doubler_is_taken_one_by_one,
                                the_first_that_is_missing_is_told,
                                most_are_found_side_by_side,
                                wide_vectors_change_no_bit,
                                sums_are_those_of_the_cycles,
                                first_cycles_as_guessed_are_those_in_full,
                                wide_vectors_change_no_bit_of_the_first,
                                NULL};
  return check_main("model/cycle_each", tests);
}
