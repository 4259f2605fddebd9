/* SPDX-License-Identifier: MIT */
/* The loss of the core along a charge. */
#include <math.h>

#include "charge_examples.h"
#include "check_main.h"
#include "model/coreloss.h"
#include "model/cycle.h"
#include "model/cycle_trace.h"

/* Core loss of the last cycle and of the one before it. */
static void run_to_stop(const bv_circuit *c, double *last, double *before) {
  bv_stage s;
  bv_cycle cycle = {0};
  bool done = false;
  ck_assert_int_eq(bv_stage_make(c, &s), BV_REASON_OK);
  bv_state state = bv_state_start(&s, c->start_voltage);
  for (int i = 0; !done && i < 10000; i++) {
    *before = cycle.flow.core;
    ck_assert_int_eq(bv_cycle_next(&s, &state, &cycle, &done), BV_REASON_OK);
  }
  ck_assert(done);
  *last = cycle.flow.core;
}

/* A target met just after turn-off leaves next to no off-time in its cycle; the
 * flux comes down all the same. */
START_TEST(the_stop_cuts_no_loss) {
  for (uint64_t i = 0; i < 12; i++)
    for (int k = 0; k < 40; k++) {
      bv_circuit c = charge_example(12, i, 300);
      double last, before;
      c.off_time_limit = HUGE_VAL;
      c.target_voltage *= 1 + 1e-4 * k;
      run_to_stop(&c, &last, &before);
      ck_assert_msg(fabs(last / before - 1) < 0.01,
                    "example %d, target %d: last %g, before it %g", (int) i, k,
                    last, before);
    }
}
END_TEST

/* Wherever in its cycle the target is met, the envelope tells the mean; a
 * single charge differs by half a cycle in a hundred. */
START_TEST(the_envelope_tells_the_mean_over_targets) {
  for (uint64_t i = 0; i < 12; i++) {
    double mean = 0;
    for (int k = 0; k < 40; k++) {
      bv_circuit c = charge_example(13, i, 100);
      bv_charge cycles, envelope;
      c.off_time_limit = HUGE_VAL;
      c.target_voltage *= 1 + 5e-4 * k;
      bv_charge_cycles(&c, NULL, &cycles);
      bv_charge_envelope(&c, &envelope);
      double ratio = cycles.loss_energy_core / envelope.loss_energy_core;
      ck_assert_msg(fabs(ratio - 1) < 8e-3, "example %d, target %d: %g",
                    (int) i, k, ratio);
      mean += ratio / 40;
    }
    ck_assert_msg(fabs(mean - 1) < 2.5e-3, "example %d: %g", (int) i, mean);
  }
}
END_TEST

/* Extremes of the magnetising current in a cycle, and the integral of its slope
 * to a power; what jumps at turn-off has left for the clamp. */
typedef struct flux {
  double ratio, alpha;
  double time, current, least, most, sum;
} flux;

static void see(const bv_sample *sample, void *context) {
  flux *x = context;
  double i = sample->primary_current + x->ratio * sample->secondary_current;
  double step = sample->time - x->time;
  if (step > 1e-14)
    x->sum += step * pow(fabs(i - x->current) / step, x->alpha);
  x->time = sample->time;
  x->current = i;
  x->least = fmin(x->least, i);
  x->most = fmax(x->most, i);
}

/* Loss of a cycle by iGSE from its waveforms. */
static double traced(const bv_circuit *c, const bv_stage *s,
                     const bv_state *start, const bv_cycle *cycle) {
  bv_steinmetz fit = {c->steinmetz_k, c->steinmetz_alpha, c->steinmetz_beta};
  flux x = {.ratio = s->n, .alpha = fit.alpha, .current = start->current};
  bv_trace trace = {see, &x, 0, HUGE_VAL, 60};
  bv_cycle_trace(s, start, cycle, 0, &trace);
  double per = s->l / (c->primary_turns * c->core_area);
  return c->core_volume * bv_core_loss_ki(&fit) *
         pow(per * (x.most - x.least), fit.beta - fit.alpha) *
         pow(per, fit.alpha) * x.sum;
}

/* The ring of a large node takes the flux as far below zero as half its peak,
 * in designs of a high ratio. */
START_TEST(the_ring_below_zero_counts) {
  double most = 0;
  for (uint64_t i = 0; i < 30; i++) {
    bv_circuit c = charge_example(14, i, 300);
    bv_stage s;
    bv_cycle cycle;
    bool done = false;
    c.off_time_limit = HUGE_VAL;
    c.node_capacitance *= 1 + (double) (i % 6);
    if (bv_stage_make(&c, &s) != BV_REASON_OK)
      continue;
    bv_state state = bv_state_start(&s, 0), start = state;
    bv_reason reason = BV_REASON_OK;
    while (reason == BV_REASON_OK && state.output < 0.9 * c.target_voltage) {
      start = state;
      reason = bv_cycle_next(&s, &state, &cycle, &done);
    }
    if (reason != BV_REASON_OK)
      continue;
    double reverse = cycle.reflected / s.z / s.peak;
    check_close(cycle.flow.core, traced(&c, &s, &start, &cycle),
                0.02 + 0.08 * reverse);
    most = fmax(most, reverse);
  }
  ck_assert_double_gt(most, 0.3);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {the_stop_cuts_no_loss,
                                the_envelope_tells_the_mean_over_targets,
                                the_ring_below_zero_counts, NULL};
  return check_main("model/cycle_core", tests);
}
