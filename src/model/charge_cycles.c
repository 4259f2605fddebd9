/* SPDX-License-Identifier: MIT */
#include <math.h>

#include "model/charge_result.h"
#include "model/cycle_bare.h"
#include "model/cycle_trace.h"

typedef struct simulation {
  bv_stage stage;
  bv_state state;
  bv_flow sums;
  double peak, recharge_peak, timed_out_until;
  bv_cycle cycles[2]; /* the last two, the later at index `last`, */
  double outputs[2];  /* and their mean outputs */
  int last;
} simulation;

/* Times at an output between the last two cycles, or of the last. */
static void set_start(const simulation *x, double output, bv_charge *charge) {
  bv_cycle at = x->cycles[x->last];
  const bv_cycle *a = &x->cycles[!x->last];
  double span = x->outputs[x->last] - x->outputs[!x->last];
  double share = span > 0 && x->outputs[!x->last] > 0
                     ? (x->outputs[x->last] - output) / span
                     : 0;
  at.on_time += share * (a->on_time - at.on_time);
  at.off_time += share * (a->off_time - at.off_time);
  at.flow.time += share * (a->flow.time - at.flow.time);
  bv_charge_set_start(charge, &at);
}

static void note(simulation *x, double before) {
  const bv_cycle *cycle = &x->cycles[x->last];
  bv_flow_add(&x->sums, 1, &cycle->flow);
  x->peak = bv_more(x->peak, cycle->peak_current);
  x->recharge_peak = bv_more(x->recharge_peak, cycle->recharge_peak);
  x->outputs[x->last] = (before + x->state.output) / 2;
  if (cycle->flow.timed_out > 0)
    x->timed_out_until = x->state.output;
}

/* One cycle, written over the older of the two. */
static bv_reason step(simulation *x, const bv_trace *trace, bool *done) {
  bv_state before = x->state;
  x->last = !x->last;
  bv_cycle *cycle = &x->cycles[x->last];
  bv_reason reason = bv_cycle_next(&x->stage, &x->state, cycle, done);
  if (reason != BV_REASON_OK)
    return reason;
  if (trace != NULL)
    bv_cycle_trace(&x->stage, &before, cycle, x->sums.time, trace);
  note(x, before.output);
  return *done || x->state.output > before.output ? BV_REASON_OK
                                                  : BV_REASON_BLEEDER_STALL;
}

static bv_reason run(simulation *x, double early, const bv_trace *trace,
                     bv_charge *charge) {
  bool done = false, started = false;
  bool bare = trace == NULL && bv_cycle_bare_fits(&x->stage);
  for (long i = 0; i < BV_CYCLES_MOST; i++) {
    bv_reason reason = step(x, trace, &done);
    if (reason != BV_REASON_OK)
      return reason;
    if (!started && (done || x->outputs[x->last] >= early)) {
      set_start(x, early, charge);
      started = true;
    }
    if (bare && started && !done)
      i +=
          bv_cycle_bare_run(&x->stage, BV_CYCLES_MOST - i, &x->state, &x->sums);
    if (done) {
      x->last = i > 0 ? !x->last : x->last; /* the last whole cycle */
      return BV_REASON_OK;
    }
  }
  return BV_REASON_TOO_MANY_CYCLES;
}

/* What inductance, node and series capacitor hold more than at the start. */
static double residual(const bv_stage *s, const bv_state *state) {
  double v = state->node * state->node - s->vin * s->vin;
  return (s->l * state->current * state->current + s->csw * v +
          s->cs * state->series * state->series) /
         2;
}

static void set_results(const bv_circuit *circuit, const simulation *x,
                        bv_charge *charge) {
  bv_charge_settle(circuit, &x->sums, charge);
  bv_charge_set_end(circuit, charge, &x->cycles[x->last]);
  charge->cycles = x->sums.cycles - 1;
  charge->timed_out_until = x->timed_out_until;
  charge->residual_energy = residual(&x->stage, &x->state);
  charge->primary_current_max = x->peak;
  charge->recharge_current_max = x->recharge_peak;
  charge->power_ratio =
      charge->average_power /
      bv_charge_power(&x->cycles[x->last], x->outputs[x->last]);
}

/* The envelope goes ahead: what it refuses is refused here, and so is a charge
 * of too many cycles before it wastes time. */
void bv_charge_cycles(const bv_circuit *circuit, const bv_trace *trace,
                      bv_charge *charge) {
  simulation x = {0};
  bv_charge_envelope(circuit, charge);
  bv_reason reason = (bv_reason) charge->reason;
  if (reason == BV_REASON_OK && charge->cycles > BV_CYCLES_MOST)
    reason = BV_REASON_TOO_MANY_CYCLES;
  if (reason == BV_REASON_OK)
    reason = bv_stage_make(circuit, &x.stage);
  x.state = bv_state_start(&x.stage, circuit->start_voltage);
  double early =
      bv_more(0.05 * circuit->target_voltage, circuit->start_voltage);
  if (reason == BV_REASON_OK)
    reason = run(&x, early, trace, charge);
  if (reason == BV_REASON_OK)
    set_results(circuit, &x, charge);
  else
    bv_charge_refuse(charge, reason);
}
