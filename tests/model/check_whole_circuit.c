/* SPDX-License-Identifier: MIT */
/* A cycle of the model, whose leakage, clamp, overlap and node are lumped, next
 * to the circuit itself: leakage, winding and switch capacitance apart, each
 * with its own state, a falling switch current, a clamp and a diode with
 * slopes; integrated in small steps. Leakage rings with both capacitances here,
 * damped by a resistance across it; the model lumps what these rings take. The
 * comparator sees the magnetising current, as one does that is blind for the
 * spike at turn-on; the core's loss is left out. */
#include <math.h>

#include "base/constants.h"
#include "check_main.h"
#include "model/cycle.h"
#include "model/design_support.h"

/* The circuit seen from the primary, and its four states. */
typedef struct plant {
  double supply, resistance, on_resistance;        /* V, ohm */
  double leakage, magnetising, damping;            /* H, ohm */
  double at_switch, at_winding;                    /* F */
  double clamp, clamp_slope, output, output_slope; /* V, ohm */
  bool on;
  double off_current, fall; /* A, s: the switch current at turn-off, its fall */
} plant;

typedef struct state {
  double primary, node, winding, magnetising; /* A, V, V (off: up), A */
} state;

static double above(double voltage, double level, double slope) {
  return voltage > level ? (voltage - level) / slope : 0;
}

/* Slopes of the states a time after turn-off, s; gives the diode's current. */
static state slopes(const plant *p, const state *x, double time,
                    double *diode) {
  double node = p->on ? p->on_resistance * x->primary : x->node;
  double drop = (p->resistance - p->on_resistance) * x->primary;
  double across = p->supply - drop - node + x->winding;
  double current = x->primary + across / p->damping;
  double left = 1 - time / p->fall;
  double channel = left > 0 && node > 0 ? p->off_current * left : 0;
  double clamp = above(node, p->supply + p->clamp, p->clamp_slope);
  double body = above(-node, 0, p->clamp_slope);
  *diode = above(x->winding, p->output, p->output_slope);
  return (state){across / p->leakage,
                 p->on ? 0 : (current - channel - clamp + body) / p->at_switch,
                 (x->magnetising - current - *diode) / p->at_winding,
                 -x->winding / p->magnetising};
}

static state moved(const state *x, const state *slope, double time) {
  return (state){x->primary + time * slope->primary,
                 x->node + time * slope->node,
                 x->winding + time * slope->winding,
                 x->magnetising + time * slope->magnetising};
}

/* One midpoint step; returns the diode's current. */
static double step(const plant *p, state *x, double off, double length) {
  double diode;
  state first = slopes(p, x, off, &diode);
  state middle = moved(x, &first, length / 2);
  state second = slopes(p, &middle, off + length / 2, &diode);
  *x = moved(x, &second, length);
  return diode;
}

static plant plant_of(const bv_circuit *c, double output) {
  double n = c->turns_ratio, peak = c->peak_current;
  double reflected = (output + c->sections * c->diode_drop) / n;
  double secondary =
      c->secondary_resistance + c->sections * c->diode_resistance;
  double rest = c->supply_resistance + c->primary_resistance;
  double series = c->switch_capacitance * c->node_capacitance_winding /
                  (c->switch_capacitance + c->node_capacitance_winding);
  return (plant){
      .supply = c->supply_voltage,
      .resistance = rest + c->sense_resistance + c->switch_resistance,
      .on_resistance = c->switch_resistance,
      .leakage = c->leakage_inductance,
      .magnetising = c->primary_inductance - c->leakage_inductance,
      .damping = 3 * sqrt(c->leakage_inductance / series),
      .at_switch = c->switch_capacitance,
      .at_winding = c->node_capacitance_winding,
      .clamp = c->clamp_voltage,
      .clamp_slope = 0.01 * c->clamp_voltage / peak,
      .output = reflected,
      .output_slope = fmax(secondary / (n * n), 3e-3 * reflected / peak),
      .fall = c->current_fall_time};
}

/* Short against everything in the circuit, s. */
static double step_length(const plant *p) {
  double series = p->at_switch * p->at_winding / (p->at_switch + p->at_winding);
  double length = 0.05 * sqrt(p->leakage * series);
  length = fmin(length, 0.3 * p->clamp_slope * p->at_switch);
  length = fmin(length, 0.3 * p->output_slope * p->at_winding);
  return fmin(length, 0.3 * p->leakage / p->damping);
}

/* What a cycle brings the output, at the primary, and how long it takes. */
typedef struct pass {
  double charge, time; /* A s, s */
} pass;

/* From turn-on to the next: to the level and the delay beyond, until nothing is
 * left for the diode, and then the wait. */
static pass turn(plant *p, state *x, const bv_circuit *c, double length) {
  pass it = {0, 0};
  double wait = BV_PI * sqrt(c->primary_inductance * c->node_capacitance) +
                c->turn_on_delay;
  p->on = true, p->off_current = 0, x->node = 0;
  for (; x->magnetising < c->peak_current; it.time += length)
    it.charge += length * step(p, x, HUGE_VAL, length);
  for (double t = 0; t < c->turn_off_delay; t += length, it.time += length)
    it.charge += length * step(p, x, HUGE_VAL, length);
  p->on = false, p->off_current = x->primary;
  x->node = p->on_resistance * x->primary;
  double off = 0, diode = 0, least = 0.03 * c->peak_current;
  for (; off < 5 * p->fall || diode > 0 || x->magnetising > least;
       off += length) {
    diode = step(p, x, off, length);
    it.charge += length * diode;
  }
  for (double t = 0; t < wait; t += length)
    it.charge += length * step(p, x, HUGE_VAL, length);
  it.time += off + wait;
  return it;
}

/* The second turn, which starts as the model's does. */
static double power(const bv_circuit *c, double output, double length) {
  plant p = plant_of(c, output);
  state x = {0, 0, -c->supply_voltage, 0};
  turn(&p, &x, c, length);
  pass it = turn(&p, &x, c, length);
  return p.output * it.charge / it.time;
}

static double model_power(const bv_circuit *c, double output) {
  bv_stage stage;
  bv_cycle cycle;
  ck_assert_int_eq(bv_stage_make(c, &stage), BV_REASON_OK);
  ck_assert_int_eq(bv_cycle_at(&stage, output, &cycle), BV_REASON_OK);
  double reflected = (output + c->sections * c->diode_drop) / c->turns_ratio;
  return reflected * c->turns_ratio * cycle.flow.output_charge /
         cycle.flow.time;
}

/* A charger's circuit whose cycle takes few steps. */
static bool random_circuit(bv_random *random, bv_circuit *c) {
  bv_job job = random_job(random);
  bv_choice choice = random_choice(random, &job);
  bv_design d = design_make(&job, &choice, BV_BUILDABLE);
  if (d.reason != BV_REASON_OK || d.efficiency < 0.7 || d.window_fill > 1)
    return false;
  *c = d.circuit;
  c->core_volume = c->steinmetz_k = c->bleeder_resistance = 0;
  plant p = plant_of(c, c->target_voltage);
  return d.period_end < 1e6 * step_length(&p);
}

/* The furthest are of windings whose capacitance is tens of times the switch's:
 * their ring returns energy by the body diode again and again, here damped. */
START_TEST(a_lumped_cycle_is_that_of_the_whole_circuit) {
  enum { MADE = 60 };
  bv_random random = bv_random_keyed(972, 0, 0);
  double errors[MADE];
  size_t made = 0;
  while (made < MADE) {
    bv_circuit c;
    if (!random_circuit(&random, &c))
      continue;
    for (double share = 0.35; share < 1.1; share += 0.65) {
      double output = share * c.target_voltage;
      plant p = plant_of(&c, output);
      double whole = power(&c, output, step_length(&p));
      errors[made++] = model_power(&c, output) / whole - 1;
    }
  }
  double low = quantile(errors, made, 0), high = quantile(errors, made, 1);
  double typical = quantile(errors, made, 0.5);
  ck_assert_msg(low > -0.05 && high < 0.09 && fabs(typical) < 3e-3,
                "power of a cycle: %g to %g, median %g", low, high, typical);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {a_lumped_cycle_is_that_of_the_whole_circuit,
                                NULL};
  return check_main("whole circuit", tests);
}
