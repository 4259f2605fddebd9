/* SPDX-License-Identifier: MIT */
#include "model/cycle_trace.h"

#include <math.h>

typedef struct tracer {
  const bv_stage *s;
  const bv_trace *trace;
  double start;   /* of the step under way */
  bv_state state; /* at that time */
} tracer;

static void give(const tracer *t, double later, double node, double primary,
                 double secondary, double output) {
  bv_sample sample = {t->start + later, node, primary, secondary, output};
  t->trace->sample(&sample, t->trace->context);
}

/* Magnetising current and the doubler's pulse on top of it. */
static void trace_on(tracer *t, const bv_cycle *cycle) {
  const bv_stage *s = t->s;
  double pulse = cycle->recharge_peak > 0 ? s->recharge.length : 0;
  double charge = pulse > 0 ? cycle->pulse_charge : 0;
  bv_ramp early = {0, t->state.current, 0, 0};
  if (pulse > 0)
    early = bv_doubler_magnetise(s, charge, t->state.current, pulse);
  for (int k = 0; k <= t->trace->points; k++) {
    double time = cycle->on_time * k / t->trace->points, extra = 0, i;
    if (time < pulse) {
      i = bv_doubler_magnetise(s, charge, t->state.current, time).current;
      extra = bv_doubler_pulse(s, charge, time);
    } else {
      i = bv_ramp_for(s->l, s->vin, s->rp, early.current, time - pulse).current;
    }
    give(t, time, 0, i + s->n * extra, -extra, t->state.output);
  }
  t->start += cycle->on_time;
  t->state.series += charge > 0 ? charge / s->cs : 0;
}

/* The undamped arc from vd = 0. */
static void trace_rise(tracer *t, const bv_cycle *cycle) {
  const bv_stage *s = t->s;
  const bv_flow *f = &cycle->flow;
  double lumped = 2 * (f->clamp + f->overlap + f->core) / s->l;
  double i = sqrt(cycle->peak_current * cycle->peak_current - lumped);
  for (int k = 0; cycle->rise_time > 0 && k < t->trace->points; k++) {
    double time = cycle->rise_time * k / t->trace->points;
    double c = cos(time / s->tau), sn = sin(time / s->tau);
    give(t, time, s->vin * (1 - c) + s->z * i * sn, i * c + s->vin / s->z * sn,
         0, t->state.output);
  }
  t->start += cycle->rise_time;
}

static void trace_off(tracer *t, const bv_cycle *cycle) {
  const bv_stage *s = t->s;
  bv_cycle again = {0};
  double u = t->state.output + s->drop - t->state.series;
  double length = cycle->off_time - cycle->rise_time;
  t->state.current = cycle->peak_current;
  bv_cycle_release(s, u / s->n, cycle->reflected, &t->state, &again);
  for (int k = 0; k <= t->trace->points; k++) {
    double time = length * k / t->trace->points;
    bv_off off = bv_off_for(&s->off, u, t->state.current / s->n, time);
    give(t, time, s->vin + (u + off.charge * s->off.inverse) / s->n, 0,
         off.current, t->state.output + off.charge / s->c);
  }
  t->start += length;
  t->state.output += cycle->flow.output_charge / s->c;
  t->state.series -= s->cs > 0 ? cycle->flow.output_charge / s->cs : 0;
}

static void trace_dead(tracer *t, const bv_cycle *cycle) {
  for (int k = 1; cycle->dead_time > 0 && k <= t->trace->points; k++) {
    double time = cycle->dead_time * k / t->trace->points;
    bv_state state = t->state;
    bv_cycle again = {0};
    bv_cycle_rest(t->s, cycle->reflected, time, &state, &again);
    give(t, time, state.node, state.current, 0, state.output);
  }
}

void bv_cycle_trace(const bv_stage *s, const bv_state *start,
                    const bv_cycle *cycle, double time, const bv_trace *trace) {
  if (!(time >= trace->from && time <= trace->until))
    return;
  tracer t = {s, trace, time, *start};
  trace_on(&t, cycle);
  trace_rise(&t, cycle);
  trace_off(&t, cycle);
  trace_dead(&t, cycle);
}
