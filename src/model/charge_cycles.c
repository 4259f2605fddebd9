/* SPDX-License-Identifier: MIT */
#include <math.h>

#include "model/charge_result.h"
#include "model/cycle_bare.h"
#include "model/cycle_row.h"
#include "model/cycle_skip.h"
#include "model/cycle_trace.h"

typedef struct simulation {
  const bv_trace *trace; /* or NULL */
  bv_skip *skip;         /* or NULL */
  double early;          /* output at which the start is looked at */
  bool started;          /* and whether it was */
  bv_row row;
  long in_full, most; /* cycles run so, and at most */
  bv_stage stage;
  bv_state state;
  bv_flow sums;
  double peak, recharge_peak, timed_out_until;
  bv_cycle cycles[2]; /* the last two, the later at index `last`, */
  double outputs[2];  /* and their mean outputs */
  int last;
} simulation;

/* Times at an output between the last two cycles, or of the last. */
static void set_start(const simulation *x, bv_charge *charge) {
  bv_cycle at = x->cycles[x->last];
  const bv_cycle *a = &x->cycles[!x->last];
  double span = x->outputs[x->last] - x->outputs[!x->last];
  double share = span > 0 && x->outputs[!x->last] > 0
                     ? (x->outputs[x->last] - x->early) / span
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
static bv_reason step(simulation *x, bool *done) {
  double before = x->state.output;
  bv_state start;
  if (x->trace != NULL)
    start = x->state;
  x->last = !x->last;
  bv_cycle *cycle = &x->cycles[x->last];
  bv_reason reason = bv_cycle_next(&x->stage, &x->state, cycle, done);
  if (reason != BV_REASON_OK)
    return reason;
  if (x->trace != NULL)
    bv_cycle_trace(&x->stage, &start, cycle, x->sums.time, x->trace);
  note(x, before);
  return *done || x->state.output > before ? BV_REASON_OK
                                           : bv_charge_stall(cycle);
}

/* Many cycles at once, where that can be. */
static void go_ahead(simulation *x) {
  const bv_stage *s = &x->stage;
  long most = x->most - x->in_full;
  if (x->skip != NULL)
    bv_cycle_skip(s, x->started ? s->target : x->early, x->skip, &x->state,
                  &x->sums);
  else if (x->trace != NULL || !x->started)
    return;
  else if (bv_cycle_bare_fits(s))
    x->in_full += bv_cycle_bare_run(s, most, &x->state, &x->sums);
  else
    x->in_full += bv_cycle_rows(s, most, &x->row, &x->state, &x->sums);
}

static bv_reason run(simulation *x, bv_charge *charge) {
  bool done = false;
  for (; x->in_full < x->most; go_ahead(x)) {
    bv_reason reason = step(x, &done);
    if (reason != BV_REASON_OK)
      return reason;
    x->in_full++;
    if (!x->started && (done || x->outputs[x->last] >= x->early)) {
      set_start(x, charge);
      x->started = true;
    }
    if (done) {
      x->last = x->in_full > 1 ? !x->last : x->last; /* the last whole cycle */
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
static void simulate(const bv_circuit *circuit, simulation *x,
                     bv_charge *charge) {
  bv_charge_envelope(circuit, charge);
  bv_reason reason = (bv_reason) charge->reason;
  bool all = x->skip == NULL || circuit->rectifier != BV_SINGLE;
  if (reason == BV_REASON_OK && all && charge->cycles > (double) x->most)
    reason = BV_REASON_TOO_MANY_CYCLES;
  if (reason == BV_REASON_OK)
    reason = bv_stage_make(circuit, &x->stage);
  x->state = bv_state_start(&x->stage, circuit->start_voltage);
  x->early = bv_more(0.05 * circuit->target_voltage, circuit->start_voltage);
  if (reason == BV_REASON_OK)
    reason = run(x, charge);
  if (reason == BV_REASON_OK)
    set_results(circuit, x, charge);
  else
    bv_charge_refuse(charge, circuit, reason);
}

void bv_charge_cycles(const bv_circuit *circuit, const bv_trace *trace,
                      bv_charge *charge) {
  simulation x = {.trace = trace, .most = BV_CYCLES_MOST};
  simulate(circuit, &x, charge);
}

long bv_charge_cycles_skipping(const bv_circuit *circuit, double tolerance,
                               bv_charge *charge) {
  bv_skip skip = {.tolerance = tolerance};
  simulation x = {.skip = &skip, .most = BV_CYCLES_MOST_IN_FULL};
  simulate(circuit, &x, charge);
  return charge->reason == BV_REASON_OK ? x.in_full : 0;
}
