/* SPDX-License-Identifier: MIT */
/* Closed form with losses: no loop over the output, smooth in every parameter,
 * for screening and for gradients.
 *
 * Each cycle's energy L Ipk^2/2 is shared by constant parts: clamp, overlap and
 * node take their means over the charge, weighted by stored energy; the number
 * of cycles follows from the energy that is needed and what is left of each.
 * The means: Vr 2/3 and Vr^2 1/2 of the values at the target (from zero),
 * clamp and overlap by six points of quadrature, the valley's square by its
 * polynomial, the current that the ring returns to the supply (Vr > Vin) as a
 * longer on-time. With V0 the differences of the same integrals are taken.
 *
 * Valid for the single rectifier and split secondaries where neither the
 * off-time limit nor the maximum frequency acts; these are left out. The error
 * (charge.h) is largest where bleeder or node take much of a cycle's energy;
 * primary I^2 R can be far off where n Vin > Vt or where the node is large. A
 * doubler goes to the envelope. Source: energy balance of the cycle in cycle.h;
 * our own derivation. */
#include <math.h>

#include "base/constants.h"
#include "base/quadrature.h"
#include "model/charge_result.h"

typedef struct closed {
  bv_stage s;
  double u0, u1;           /* V, start and target with the diodes' drop */
  double energy;           /* J, in the inductance at the peak */
  double clamp, overlap;   /* J a cycle, means */
  double core;             /* likewise */
  double useful;           /* J a cycle for the secondary */
  double secondary;        /* A, at the start of step 5 */
  double reflected;        /* V, mean */
  double cycles, returned; /* s, mean time that the returned current takes */
} closed;

/* Mean over the stored energy of an integral 2 F(u) between the two ends. */
static double mean(const closed *x, double f0, double f1) {
  return 2 * (f1 - f0) / (x->u1 * x->u1 - x->u0 * x->u0);
}

static bv_reason set_turn_off(closed *x) {
  const bv_stage *s = &x->s;
  bv_quadrature rule = bv_quadrature_rule(6);
  double middle = (x->u1 + x->u0) / 2, half = (x->u1 - x->u0) / 2;
  double clamp = 0, overlap = 0;
  if (s->clamp.leakage > 0 && !(x->u1 < s->n * s->clamp.level))
    return BV_REASON_CLAMP_BELOW_REFLECTED;
  for (size_t i = 0; i < rule.count; i++) {
    double u = middle + half * rule.nodes[i];
    bv_turn_off off = bv_cycle_turn_off(s, s->peak, u / s->n);
    clamp += rule.weights[i] * half * u * off.clamp;
    overlap += rule.weights[i] * half * u * off.overlap;
  }
  x->clamp = mean(x, 0, clamp);
  x->overlap = mean(x, 0, overlap);
  return BV_REASON_OK;
}

/* Loss of the core in the cycle at an output with the diodes' drop. */
static double core_at(const closed *x, double u) {
  const bv_stage *s = &x->s;
  bv_cycle cycle = {.on_time = s->on_time, .peak_current = s->peak};
  bv_core_base none = {0};
  double left2 = 2 * (x->energy - x->clamp - x->overlap) / s->l, vr = u / s->n;
  return s->core > 0 ? bv_cycle_core(s, &cycle, left2, vr, vr, &none) : 0;
}

static void set_core(closed *x) {
  bv_quadrature rule = bv_quadrature_rule(4);
  double half = (x->u1 - x->u0) / 2, sum = 0;
  for (size_t i = 0; i < rule.count; i++) {
    double u = x->u0 + half * (1 + rule.nodes[i]);
    sum += rule.weights[i] * half * u * core_at(x, u);
  }
  x->core = mean(x, 0, sum);
}

/* Integral over w = Vr/Vin of 2 w times the time that the returned current
 * takes, in units of tau: sqrt(w^2 - 1) - acos(1/w) from w = 1 on. */
static double return_integral(double w) {
  if (!(w > 1))
    return 0;
  double r = sqrt(w * w - 1);
  return 2.0 / 3 * r * r * r - w * w * acos(1 / w) + r;
}

/* The turn-on delay takes its part of that time; both meet smoothly. */
static void set_return(closed *x) {
  const bv_stage *s = &x->s;
  double scale = s->n * s->vin, w0 = x->u0 / scale, w1 = x->u1 / scale;
  if (s->csw == 0)
    return;
  double time = s->tau * (return_integral(w1) - return_integral(w0)) /
                (w1 * w1 - w0 * w0);
  double delay = s->dead - BV_PI * s->tau;
  x->returned = time > 0 ? time * time / (time + delay) : 0;
}

/* Integral of u (Vin - u/n)^2 up to where the valley reaches zero. */
static double valley_integral(const bv_stage *s, double u) {
  double w = bv_less(u / s->n, s->vin), v = s->vin;
  return s->n * s->n * w * w * (v * v / 2 - 2 * v * w / 3 + w * w / 4);
}

static bv_reason set_shares(closed *x) {
  const bv_stage *s = &x->s;
  double cubes = (pow(x->u1, 3) - pow(x->u0, 3)) / 3;
  x->energy = s->l * s->peak * s->peak / 2;
  x->reflected = mean(x, 0, cubes) / s->n;
  double square = (x->u1 * x->u1 + x->u0 * x->u0) / (2 * s->n * s->n);
  double node = s->csw * (square - s->vin * s->vin) / 2;
  bv_reason reason = set_turn_off(x);
  set_core(x);
  x->useful = x->energy - x->clamp - x->overlap - x->core - node;
  if (reason == BV_REASON_OK && !(x->useful > 0))
    reason = BV_REASON_STALL;
  x->secondary = s->peak / s->n * sqrt(bv_more(x->useful, 0) / x->energy);
  set_return(x);
  return reason;
}

/* The bleeder's energy by the times of the ideal cycle. */
static double bleeder_energy(const closed *x) {
  const bv_stage *s = &x->s;
  double v0 = x->u0 - s->drop, v1 = x->u1 - s->drop;
  double on = s->on_time * (pow(v1, 4) - pow(v0, 4)) / 4;
  double off = s->ls * x->secondary * (pow(v1, 3) - pow(v0, 3)) / 3;
  return s->c * s->bleed / x->useful * (on + off);
}

/* The cycle at an output, without its losses but the core's. */
static bv_cycle cycle_at(const closed *x, double output) {
  const bv_stage *s = &x->s;
  double u = output + s->drop;
  bv_cycle c = {.on_time = s->on_time,
                .off_time = s->ls * x->secondary / u,
                .dead_time = s->dead,
                .peak_current = s->peak,
                .reflected = u / s->n};
  c.off_time += s->csw * (s->vin + c.reflected) / s->peak;
  c.flow.time = c.on_time + c.off_time + c.dead_time;
  c.flow.output_charge = x->useful / u;
  c.flow.core = core_at(x, u);
  return c;
}

static bv_flow flow_of(closed *x) {
  const bv_stage *s = &x->s;
  double dv = x->u1 - x->u0, charge = s->c * dv;
  double stored = s->c * dv * (x->u1 + x->u0) / 2 - s->drop * charge;
  bv_flow f = {.output_charge = charge,
               .output_square = 2.0 / 3 * x->secondary * charge,
               .bleeder = bleeder_energy(x)};
  double needed =
      stored + s->drop * charge + s->r * f.output_square + f.bleeder;
  double n = x->cycles = needed / x->useful;
  double on = s->on_time + x->returned;
  double valley = mean(x, valley_integral(s, x->u0), valley_integral(s, x->u1));
  f.cycles = f.turn_ons = n;
  f.time = n * (on + s->dead) + 2 * charge / x->secondary +
           n * s->csw * (s->vin + x->reflected) / s->peak;
  f.primary_square = n * s->peak * s->peak * s->on_time / 3;
  f.clamp = n * x->clamp;
  f.overlap = n * x->overlap;
  f.turn_on = n * s->csw * valley / 2;
  f.core = n * x->core;
  f.primary_charge = (needed + f.clamp + f.overlap + f.core + f.turn_on +
                      s->rp * f.primary_square) /
                     s->vin;
  return f;
}

static void fill(const bv_circuit *circuit, closed *x, bv_charge *charge) {
  bv_flow flow = flow_of(x);
  double early = 0.05 * circuit->target_voltage;
  bv_cycle start = cycle_at(x, bv_more(early, circuit->start_voltage));
  bv_cycle end = cycle_at(x, circuit->target_voltage);
  bv_charge_settle(circuit, &flow, charge);
  bv_charge_set_start(charge, &start);
  end.flow.primary_charge = flow.primary_charge / x->cycles; /* all alike */
  bv_charge_set_end(circuit, charge, &end);
  charge->residual_energy = 0;
  charge->timed_out_until = 0;
  charge->primary_current_max = x->s.peak;
  charge->recharge_current_max = 0;
  charge->power_ratio =
      charge->average_power / bv_charge_power(&end, circuit->target_voltage);
}

void bv_charge_closed(const bv_circuit *circuit, bv_charge *charge) {
  closed x = {.u0 = circuit->start_voltage, .u1 = circuit->target_voltage};
  if (circuit->rectifier != BV_SINGLE) {
    bv_charge_envelope(circuit, charge);
    return;
  }
  bv_reason reason = bv_stage_make(circuit, &x.s);
  x.u0 += x.s.drop;
  x.u1 += x.s.drop;
  if (reason == BV_REASON_OK)
    reason = set_shares(&x);
  if (reason == BV_REASON_OK)
    fill(circuit, &x, charge);
  else
    bv_charge_refuse(charge, circuit, reason);
}
