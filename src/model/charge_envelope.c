/* SPDX-License-Identifier: MIT */
/* The envelope: the cycle at each output voltage, integrated over the voltage.
 *
 * A cycle at V moves the charge Q less the bleeder's V T/Rb, so dN = C dV/(Q -
 * V T/Rb), and every amount is the integral of its share a cycle over N, by
 * Gauss-Legendre quadrature. The range is split where the integrand has a
 * corner: where the off-time limit or the maximum frequency starts or stops,
 * where the reflected voltage passes the supply (zero voltage at turn-on),
 * where the secondary's resistive drop passes the output. The first cycles,
 * which are few, long and unlike each other, are taken one by one. */
#include <math.h>
#include <string.h>

#include "base/quadrature.h"
#include "base/root.h"
#include "model/charge_result.h"
#include "model/cycle_lanes.h"
#include "model/doubler_ladder.h"

enum { POINTS = 6, MAX_CORNERS = 8 };

/* A segment of less than this share of the target does with two points less. */
static const double NARROW = 0.1;

typedef struct envelope {
  bv_stage stage;
  bv_flow sums;
  double peak, recharge_peak;
  size_t points;       /* of the quadrature, a segment */
  bv_cycle start, end; /* at 5 % of the target or where it starts, and at it */
  size_t waiting;      /* outputs whose cycles are to be found together: */
  double v[BV_CYCLE_EACH_MOST];
  double width[BV_CYCLE_EACH_MOST];   /* of the voltage they stand for, or */
  bv_cycle *told[BV_CYCLE_EACH_MOST]; /* where they are told, else NULL */
  bv_lead *lead;                      /* NULL: the stage stays */
  const void *context;
  double corners[MAX_CORNERS];
  size_t corner_count;
  double off; /* for bv_cycle_near */
} envelope;

static bv_reason follow(envelope *e, double output) {
  return e->lead ? e->lead(e->context, output, &e->stage) : BV_REASON_OK;
}

static void note_peaks(envelope *e, const bv_cycle *cycle) {
  e->peak = bv_more(e->peak, cycle->peak_current);
  e->recharge_peak = bv_more(e->recharge_peak, cycle->recharge_peak);
}

/* Charge that a cycle leaves at an output, A s. */
static double gain_of(const envelope *e, double v, const bv_cycle *cycle) {
  return cycle->flow.output_charge - v * e->stage.bleed * cycle->flow.time;
}

/* Adds the cycles that take the output through a width about v. */
static bv_reason add_point(envelope *e, double v, double width,
                           const bv_cycle *cycle) {
  double gain = gain_of(e, v, cycle);
  if (!(gain > 0))
    return bv_charge_stall(cycle);
  bv_flow_add(&e->sums, e->stage.c * width / gain, &cycle->flow);
  note_peaks(e, cycle);
  return BV_REASON_OK;
}

static bv_reason take_cycle(envelope *e, size_t i, const bv_cycle *cycle) {
  if (!e->told[i])
    return add_point(e, e->v[i], e->width[i], cycle);
  *e->told[i] = *cycle;
  return BV_REASON_OK;
}

/* How many cycles one found side by side stands for; 0: it is to be laid out,
 * since it is told or leaves nothing. */
static double weight_of(const envelope *e, const bv_lanes *x, size_t i) {
  double gain = x->out_charge[i] - e->v[i] * e->stage.bleed * x->time[i];
  return gain > 0 && !e->told[i] ? e->stage.c * e->width[i] / gain : 0;
}

/* Those that wait. */
static bv_reason take_points(envelope *e) {
  bv_lanes x;
  double weights[BV_CYCLE_EACH_MOST] = {0};
  bool fit = bv_lanes_fit(&e->stage);
  bv_reason reason = BV_REASON_OK;
  if (fit)
    bv_lanes_find(&e->stage, e->waiting, e->v, &x);
  for (size_t i = 0; i < e->waiting && reason == BV_REASON_OK; i++) {
    bv_cycle cycle;
    bool found = fit && bv_lanes_hold(&x, i);
    weights[i] = found ? weight_of(e, &x, i) : 0;
    if (weights[i] > 0)
      continue;
    if (found)
      bv_lanes_cycle(&e->stage, &x, i, &cycle);
    else
      reason = bv_cycle_near(&e->stage, e->v[i], &e->off, &cycle);
    if (reason == BV_REASON_OK)
      reason = take_cycle(e, i, &cycle);
  }
  if (fit) {
    bv_lanes_sum(&x, weights, &e->sums);
    e->peak = bv_more(e->peak, e->stage.peak);
  }
  e->waiting = 0;
  return reason;
}

/* Together with others where the stage stays and their order doesn't count. */
static bv_reason put_point(envelope *e, double v, double width,
                           bv_cycle *told) {
  bv_reason reason = follow(e, v);
  size_t i = e->waiting++;
  e->v[i] = v;
  e->width[i] = width;
  e->told[i] = told;
  bool alone = e->lead || e->stage.cs > 0;
  bool full = alone || e->waiting == BV_CYCLE_EACH_MOST;
  return reason == BV_REASON_OK && full ? take_points(e) : reason;
}

static bv_reason put_ends(envelope *e, const bv_circuit *circuit) {
  double target = circuit->target_voltage;
  double early = fmax(0.05 * target, circuit->start_voltage);
  bv_reason reason = put_point(e, target, 0, &e->end);
  e->off = 0;
  if (reason == BV_REASON_OK)
    reason = put_point(e, early, 0, &e->start);
  e->off = 0;
  return reason;
}

/* Points gather at the lower end, as the square of an even spacing: the
 * off-time grows there like the logarithm of the output over the secondary's
 * drop. */
static bv_reason put_segment(envelope *e, double lo, double hi) {
  bool narrow = hi - lo < NARROW * e->stage.target;
  bv_quadrature rule = bv_quadrature_rule(narrow ? e->points - 2 : e->points);
  for (size_t i = 0; i < rule.count; i++) {
    double at = (1 + rule.nodes[i]) / 2;
    bv_reason reason = put_point(e, lo + (hi - lo) * at * at,
                                 (hi - lo) * at * rule.weights[i], NULL);
    if (reason != BV_REASON_OK)
      return reason;
  }
  return BV_REASON_OK;
}

static void add_corner(envelope *e, double v, double lo, double hi) {
  double margin = 1e-9 * hi;
  if (!(v > lo + margin && v < hi - margin) || e->corner_count == MAX_CORNERS)
    return;
  size_t i = e->corner_count++;
  for (; i > 0 && e->corners[i - 1] > v; i--)
    e->corners[i] = e->corners[i - 1];
  e->corners[i] = v;
}

/* 1/off-time less 1/limit, and 1/period less the highest frequency: nearly
 * straight in the output voltage. */
static double beyond_limit(double v, const void *context) {
  const bv_stage *s = context;
  return 1 / bv_cycle_off_time(s, v) - 1 / s->limit;
}

static double beyond_frequency(double v, const void *context) {
  bv_stage stage = *(const bv_stage *) context;
  bv_cycle cycle;
  double highest = 1 / stage.period;
  stage.period = 0;
  bv_cycle_at(&stage, v, &cycle);
  return 1 / cycle.flow.time - highest;
}

/* The voltage up to which the off-time limit acts, at most the target. By
 * the secant, whose error is a thirtieth of its last step at most: 1e-4. */
static double limit_until(const bv_stage *s, double lo) {
  double last = lo, at_last = isinf(s->limit) ? 0 : beyond_limit(lo, s);
  if (at_last >= 0)
    return 0;
  double v = s->n * s->l * s->peak / s->limit + s->n * s->vin * (s->cs > 0);
  double step = s->target;
  if (!(v > lo))
    v = s->target;
  for (int i = 0; i < 20 && fabs(step) > 0.003 * v; i++) {
    v = bv_more(lo, bv_less(v, s->target));
    double at = beyond_limit(v, s);
    if (at <= 0 && v == s->target)
      return v;
    step = -at * (v - last) / (at - at_last);
    last = v;
    at_last = at;
    v += step;
  }
  return bv_less(v, s->target);
}

static void find_corners(envelope *e, double lo, double limit) {
  const bv_stage *s = &e->stage;
  double hi = s->target, level = s->n * s->vin, v;
  e->corner_count = 0;
  add_corner(e, limit, lo, hi);
  if (s->csw > 0 || s->cs > 0)
    add_corner(e, level, lo, hi);
  if (s->cs > 0)
    add_corner(e, 2 * level, lo, hi);
  if (s->period > 0 && bv_root_find(beyond_frequency, s, lo, hi, 1e-5 * hi, &v))
    add_corner(e, v, lo, hi);
}

static bv_reason add_range(envelope *e, double lo, double limit) {
  find_corners(e, lo, limit);
  for (size_t i = 0; i <= e->corner_count; i++) {
    double hi = i < e->corner_count ? e->corners[i] : e->stage.target;
    bv_reason reason = put_segment(e, lo, hi);
    if (reason != BV_REASON_OK)
      return reason;
    lo = hi;
  }
  return BV_REASON_OK;
}

/* The target is met inside step 5 at any share of a cycle's energy. On average
 * half a cycle more of everything before step 5 was done than its energy says,
 * a tenth more of the square of the falling current, and of step 5 a third of
 * the time. */
static void add_end(envelope *e, const bv_cycle *end) {
  const bv_flow *f = &end->flow;
  double off = end->off_time - end->rise_time;
  bv_flow more = {.time =
                      2 * (end->on_time + end->rise_time + off / 3) - f->time,
                  .turn_ons = 1,
                  .primary_charge = f->primary_charge,
                  .primary_square = f->primary_square,
                  .output_square = f->output_square / 5,
                  .recharge_charge = f->recharge_charge,
                  .recharge_square = f->recharge_square,
                  .clamp = f->clamp,
                  .overlap = f->overlap,
                  .turn_on = f->turn_on,
                  .recovery = f->recovery,
                  .core = f->core};
  bv_flow_add(&e->sums, 0.5, &more);
}

/* Takes the first cycles one by one; done where they reach the target. */
static bv_reason add_first(envelope *e, bv_state *state, double *timed_out,
                           bool *done) {
  *done = false;
  *timed_out = 0;
  bv_release first[BV_FIRST_CYCLES];
  for (int i = 0; i < BV_FIRST_CYCLES && !*done; i++) {
    bv_cycle cycle;
    bv_reason reason = follow(e, state->output);
    if (i == 0)
      bv_cycle_first(&e->stage, state->output, first);
    if (reason == BV_REASON_OK)
      reason = bv_cycle_next_told(&e->stage, &first[i], state, &cycle, done);
    if (reason != BV_REASON_OK)
      return reason;
    bv_flow_add(&e->sums, 1, &cycle.flow);
    note_peaks(e, &cycle);
    if (cycle.flow.timed_out > 0)
      *timed_out = state->output;
  }
  return BV_REASON_OK;
}

static bv_reason integrate(envelope *e, double start, bool *done,
                           bv_charge *charge) {
  bv_state state = bv_state_start(&e->stage, start);
  bv_reason reason = add_first(e, &state, &charge->timed_out_until, done);
  if (reason != BV_REASON_OK || *done)
    return reason;
  double limit = limit_until(&e->stage, state.output);
  charge->timed_out_until = bv_more(charge->timed_out_until, limit);
  return add_range(e, state.output, limit);
}

/* What is wrong at the target counts before what is elsewhere; whether the
 * output still rises there, no point of the quadrature tells. */
static bv_reason add_all(envelope *e, const bv_circuit *circuit,
                         bv_charge *charge) {
  bool done = false;
  bv_reason ends = put_ends(e, circuit);
  if (ends != BV_REASON_OK)
    return ends;
  bv_reason put = integrate(e, circuit->start_voltage, &done, charge);
  bv_reason taken = e->waiting > 0 ? take_points(e) : BV_REASON_OK;
  if (taken != BV_REASON_OK || put != BV_REASON_OK || done)
    return taken != BV_REASON_OK ? taken : put;
  add_end(e, &e->end);
  return gain_of(e, e->stage.target, &e->end) > 0 ? BV_REASON_OK
                                                  : bv_charge_stall(&e->end);
}

static void set_results(const bv_circuit *circuit, envelope *e,
                        bv_charge *charge) {
  bv_charge_settle(circuit, &e->sums, charge);
  bv_charge_set_start(charge, &e->start);
  bv_charge_set_end(circuit, charge, &e->end);
  charge->residual_energy = charge->supply_energy - charge->stored_energy -
                            charge->loss_energy + charge->loss_energy_gate;
  charge->primary_current_max = e->peak;
  charge->recharge_current_max = e->recharge_peak;
  charge->power_ratio =
      charge->average_power / bv_charge_power(&e->end, circuit->target_voltage);
}

static void run_one(envelope *e, const bv_circuit *circuit, bv_charge *charge) {
  charge->timed_out_until = 0;
  bv_reason reason = bv_stage_make(circuit, &e->stage);
  if (reason == BV_REASON_OK)
    reason = add_all(e, circuit, charge);
  if (reason == BV_REASON_OK)
    set_results(circuit, e, charge);
  else
    bv_charge_refuse(charge, circuit, reason);
}

static void run(envelope *e, const bv_circuit *circuit, bv_charge *charge) {
  if (circuit->rectifier != BV_LADDER) {
    run_one(e, circuit, charge);
    return;
  }
  bv_circuit doubler = bv_ladder_as_doubler(circuit);
  run_one(e, &doubler, charge);
  bv_charge_of_ladder(circuit, &doubler, charge);
}

void bv_charge_envelope_by(const bv_circuit *circuit, size_t points,
                           bv_charge *charge) {
  envelope e = {.points = points};
  run(&e, circuit, charge);
}

void bv_charge_envelope_led(const bv_circuit *circuit, bv_lead *lead,
                            const void *context, bv_charge *charge) {
  envelope e = {.points = POINTS, .lead = lead, .context = context};
  run(&e, circuit, charge);
}

void bv_charge_envelope(const bv_circuit *circuit, bv_charge *charge) {
  bv_charge_envelope_by(circuit, POINTS, charge);
}
