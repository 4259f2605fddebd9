/* SPDX-License-Identifier: MIT */
#include <string.h>
#include <time.h>

#include "charge_examples.h"
#include "check_main.h"
#include "model/cycle.h"

/* What the supply gave less what was stored, left and lost. */
static double imbalance(const bv_charge *c) {
  return (c->supply_energy - c->stored_energy - c->residual_energy -
          c->loss_energy + c->loss_energy_gate) /
         c->supply_energy;
}

static void check_balance(const bv_circuit *circuit, uint64_t index) {
  bv_charge charge;
  bv_charge_cycles(circuit, NULL, &charge);
  ck_assert_msg(charge.reason == BV_REASON_OK, "example %d: %s", (int) index,
                bv_reason_words[charge.reason]);
  ck_assert_msg(fabs(imbalance(&charge)) < 1e-6, "example %d: imbalance %.2g",
                (int) index, imbalance(&charge));
}

START_TEST(energy_balance_closes) {
  for (uint64_t i = 0; i < 60; i++) {
    bv_circuit c = charge_example(1, i, 400);
    check_balance(&c, i);
    c.max_frequency =
        0.3 * c.supply_voltage / (c.primary_inductance * c.peak_current);
    check_balance(&c, i);
  }
}
END_TEST

START_TEST(energy_balance_closes_for_doublers) {
  for (uint64_t i = 0; i < 40; i++) {
    bv_circuit c = charge_example_doubler(1, i, 400);
    check_balance(&c, i);
  }
}
END_TEST

/* Envelope and simulator differ by about half a cycle's share, to either side.
 */
START_TEST(envelope_follows_the_cycles) {
  double bias = 0;
  for (uint64_t i = 0; i < 60; i++) {
    bv_circuit c = charge_example(2, i, 3000);
    bv_charge a, b;
    bv_charge_envelope(&c, &a);
    bv_charge_cycles(&c, NULL, &b);
    ck_assert_int_eq(a.reason, BV_REASON_OK);
    ck_assert_msg(fabs(a.charge_time / b.charge_time - 1) < 1e-3,
                  "example %d: %g, %g", (int) i, a.charge_time, b.charge_time);
    ck_assert_msg(fabs(a.loss_energy / b.loss_energy - 1) < 3e-3,
                  "example %d: %g, %g", (int) i, a.loss_energy, b.loss_energy);
    bias += (a.supply_energy / b.supply_energy - 1) / 60;
  }
  ck_assert_msg(fabs(bias) < 6e-5, "mean difference %g", bias);
}
END_TEST

/* An off-time limit about the on-time leaves a doubler up to several times the
 * comparator level at low outputs. */
START_TEST(envelope_follows_doublers_that_time_out) {
  int above = 0;
  for (uint64_t i = 0; i < 60; i++) {
    bv_circuit c = charge_example_doubler(91, i, 20000);
    double on = c.primary_inductance * c.peak_current / c.supply_voltage;
    bv_charge a, b;
    c.off_time_limit = (i % 2 ? 1.5 : 0.6) * on;
    bv_charge_envelope(&c, &a);
    bv_charge_cycles(&c, NULL, &b);
    ck_assert_int_eq(a.reason, BV_REASON_OK);
    above += b.primary_current_max > 1.5 * c.peak_current;
    ck_assert_msg(fabs(a.charge_time / b.charge_time - 1) < 0.01,
                  "example %d: %g, %g", (int) i, a.charge_time, b.charge_time);
    ck_assert_msg(fabs(a.loss_energy / b.loss_energy - 1) < 0.02,
                  "example %d: %g, %g", (int) i, a.loss_energy, b.loss_energy);
  }
  ck_assert_int_gt(above, 20);
}
END_TEST

/* At a low output a small series capacitor stands above the crest of the node
 * and takes the current at once. */
START_TEST(a_capacitor_may_catch_the_node_at_its_crest) {
  bv_circuit c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.rectifier = BV_DOUBLER;
  c.stages = 1;
  c.sections = 3;
  c.supply_voltage = 48;
  c.target_voltage = 3000;
  c.storage_capacitance = 10e-6;
  c.primary_inductance = 31.7e-6;
  c.turns_ratio = 42.4;
  c.peak_current = 19.3;
  c.primary_resistance = 0.46;
  c.secondary_resistance = 627;
  c.series_capacitance = 0.2824e-9;
  c.leakage_inductance = 16.1e-6;
  c.node_capacitance = 22.4e-9;
  c.node_capacitance_winding = 21.9e-9;
  c.clamp_voltage = 40.2;
  bv_stage s;
  bv_cycle cycle;
  ck_assert_int_eq(bv_stage_make(&c, &s), BV_REASON_OK);
  ck_assert_int_eq(bv_cycle_at(&s, 4.2, &cycle), BV_REASON_OK);
  ck_assert(isfinite(cycle.flow.primary_square));
  bv_charge envelope, cycles;
  bv_charge_envelope(&c, &envelope);
  bv_charge_cycles(&c, NULL, &cycles);
  check_close(envelope.loss_energy, cycles.loss_energy, 1e-3);
}
END_TEST

/* The cycle that repeats itself at an output conserves energy, also where the
 * maximum frequency lets it ring; many cycles, so that no arc bends it. */
static void check_repeating(bv_circuit c, double share, uint64_t index) {
  bv_stage s;
  bv_cycle cycle;
  double v = share * c.target_voltage;
  c.off_time_limit = HUGE_VAL;
  ck_assert_int_eq(bv_stage_make(&c, &s), BV_REASON_OK);
  ck_assert_int_eq(bv_cycle_at(&s, v, &cycle), BV_REASON_OK);
  const bv_flow *f = &cycle.flow;
  double taken = s.vin * f->primary_charge;
  double given = s.rp * f->primary_square + s.r * f->output_square +
                 (v + s.drop) * f->output_charge + f->clamp + f->overlap +
                 f->turn_on + f->core;
  ck_assert_msg(fabs(taken - given) < 1e-5 * taken, "example %d at %g: %g, %g",
                (int) index, share, taken, given);
}

START_TEST(repeating_cycles_conserve_energy) {
  for (uint64_t i = 0; i < 30; i++)
    for (double share = 0.2; share < 1; share += 0.2) {
      bv_circuit c = charge_example(8, i, 1e7);
      check_repeating(c, share, i);
      c.max_frequency =
          0.3 * c.supply_voltage / (c.primary_inductance * c.peak_current);
      check_repeating(c, share, i);
    }
}
END_TEST

/* The fast run of a bare circuit against every cycle in full, which a clamp
 * that takes next to nothing asks for. */
START_TEST(bare_circuits_run_faster_and_the_same) {
  for (uint64_t i = 0; i < 20; i++) {
    bv_circuit from = charge_example(6, i, 3000), c;
    bv_field_defaults(bv_circuit_fields, &c);
    c.supply_voltage = from.supply_voltage;
    c.target_voltage = from.target_voltage;
    c.storage_capacitance = from.storage_capacitance;
    c.primary_inductance = from.primary_inductance;
    c.turns_ratio = from.turns_ratio;
    c.peak_current = from.peak_current;
    if (i % 2 == 0) {
      c.secondary_resistance = from.secondary_resistance;
      c.sense_resistance = from.sense_resistance;
      c.diode_drop = from.diode_drop;
      c.turn_on_delay = from.turn_on_delay;
      c.turn_off_delay = from.turn_off_delay;
    }
    bv_charge fast, full;
    bv_charge_cycles(&c, NULL, &fast);
    c.leakage_inductance = 1e-15 * c.primary_inductance;
    c.clamp_voltage = 1e6;
    bv_charge_cycles(&c, NULL, &full);
    ck_assert_double_eq(fast.cycles, full.cycles);
    ck_assert(fabs(imbalance(&fast)) < 1e-10);
    for (size_t k = 1; k < bv_charge_fields.count; k++) {
      const bv_field *field = &bv_charge_fields.list[k];
      double a = bv_field_number(field, &fast),
             b = bv_field_number(field, &full);
      double near = strcmp(field->name, "residual_energy") == 0 ? 1e-4 : 1e-7;
      if (strcmp(field->name, "switch_voltage") != 0 && fabs(b) > 1e-12)
        ck_assert_msg(fabs(a - b) < near * fabs(b),
                      "%s: fast %.12g, full %.12g", field->name, a, b);
    }
  }
}
END_TEST

/* A charge of more cycles than the simulator runs is refused at once. */
/* Step 6 in small steps: from rest at a voltage above the supply the node
 * rings, the body diode holds it at zero volts until the current has come back.
 */
static double current_left(const bv_stage *s, double above) {
  enum { STEPS = 20000 };
  double u = above, i = 0, h = s->dead / STEPS;
  for (int k = 0; k < STEPS; k++) {
    if (u <= -s->vin && i < 0) {
      i = fmin(0, i + h * (s->vin - s->rp * i) / s->l);
      continue;
    }
    double mu = u + h / 2 * i / s->csw;
    double mi = i - h / 2 * (u + s->rp * i) / s->l;
    u += h * mi / s->csw;
    i -= h * (mu + s->rp * mi) / s->l;
  }
  return i;
}

/* Just above the output at which the node first reaches zero volts damping
 * makes it come there much later than it would without. */
START_TEST(a_ring_that_grazes_zero_volts_is_caught_when_it_does) {
  for (uint64_t index = 0; index < 40; index++) {
    bv_circuit c = charge_example(17, index, 3000);
    bv_stage s;
    bv_cycle cycle;
    c.off_time_limit = HUGE_VAL;
    c.turns_ratio = 0.8 * c.target_voltage / c.supply_voltage;
    c.clamp_voltage = 3 * c.supply_voltage;
    double on = c.primary_inductance * c.peak_current / c.supply_voltage;
    c.node_capacitance = 0.09 * on * on / c.primary_inductance;
    c.primary_resistance = 0.1 * c.supply_voltage / c.peak_current;
    ck_assert_int_eq(bv_stage_make(&c, &s), BV_REASON_OK);
    double above = s.vin / s.ring_low * (1.002 + 0.002 * (double) index);
    ck_assert_int_eq(bv_cycle_at(&s, above * s.n - s.drop, &cycle),
                     BV_REASON_OK);
    ck_assert_double_eq_tol(cycle.low_current, current_left(&s, above),
                            1e-3 * above / s.z);
  }
}
END_TEST

START_TEST(too_many_cycles) {
  bv_circuit c = charge_example(3, 1, 1e9);
  bv_charge charge;
  clock_t start = clock();
  bv_charge_cycles(&c, NULL, &charge);
  ck_assert_int_eq(charge.reason, BV_REASON_TOO_MANY_CYCLES);
  ck_assert(clock() - start < CLOCKS_PER_SEC / 10);
  ck_assert(isnan(charge.charge_time));
}
END_TEST

/* Integrals of the samples, by trapezia. */
typedef struct watch {
  bv_sample last;
  size_t count;
  double supply, output, peak, node, longest;
} watch;

static void see(const bv_sample *sample, void *context) {
  watch *w = context;
  if (w->count++ > 0) {
    double step = sample->time - w->last.time;
    ck_assert(step >= -1e-15);
    w->longest = fmax(w->longest, step);
    w->supply += step * (sample->primary_current + w->last.primary_current) / 2;
    w->output +=
        step * (sample->secondary_current + w->last.secondary_current) / 2;
    ck_assert(sample->output_voltage >= 0.9999 * w->last.output_voltage);
  }
  ck_assert(sample->switch_voltage >= -1e-9);
  w->peak = fmax(w->peak, sample->primary_current);
  w->node = fmax(w->node, sample->switch_voltage);
  w->last = *sample;
}

START_TEST(trace_agrees_with_the_results) {
  bv_circuit c = charge_example(4, 2, 100);
  watch w = {0};
  bv_trace trace = {see, &w, 0, HUGE_VAL, 400};
  bv_charge charge;
  bv_charge_cycles(&c, &trace, &charge);
  ck_assert_int_eq(charge.reason, BV_REASON_OK);
  ck_assert_uint_gt(w.count, 100 * 3 * 400);
  check_close(w.last.time, charge.charge_time, 1e-9);
  check_close(w.last.output_voltage, c.target_voltage, 1e-4);
  check_close(w.supply * c.supply_voltage, charge.supply_energy, 2e-3);
  check_close(w.output,
              c.storage_capacitance * c.target_voltage +
                  charge.loss_energy_bleeder / (c.target_voltage / 1.5),
              3e-3);
  /* It rises on a little until the node has passed the supply. */
  ck_assert_double_ge(w.peak, charge.primary_current_max);
  check_close(w.peak, charge.primary_current_max, 2e-2);
  check_close(w.node, charge.switch_plateau, 5e-3);
  watch few = {0};
  bv_trace part = {see, &few, 0.5 * charge.charge_time,
                   0.55 * charge.charge_time, 10};
  bv_charge_cycles(&c, &part, &charge);
  ck_assert_uint_gt(few.count, 30);
  ck_assert_double_lt(few.last.time, 0.6 * charge.charge_time);
}
END_TEST

/* The series and the halved angle against the C library's long functions, where
 * those keep enough digits. */
START_TEST(ramps_meet_the_library) {
  for (double s = -3; s < 0.999; s += 0.0007) {
    if (fabs(s) < 1e-3)
      continue;
    long double square = (long double) s, y = sqrtl(fabsl(square));
    long double angle = s > 0 ? atanhl(y) : atanl(y);
    check_close(bv_ramp_excess(s), (double) ((angle / y - 1) / square), 2e-14);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      ramps_meet_the_library,
      energy_balance_closes,
      energy_balance_closes_for_doublers,
      envelope_follows_the_cycles,
      envelope_follows_doublers_that_time_out,
      a_capacitor_may_catch_the_node_at_its_crest,
      bare_circuits_run_faster_and_the_same,
      repeating_cycles_conserve_energy,
      a_ring_that_grazes_zero_volts_is_caught_when_it_does,
      too_many_cycles,
      trace_agrees_with_the_results,
      NULL};
  return check_main("model/charge_cycles", tests);
}
