/* SPDX-License-Identifier: MIT */
#include "model/cycle_lanes.h"

#include <math.h>

#include "model/cycle_lanes_steps.h"

bool bv_lanes_fit(const bv_stage *s) {
  double angle = s->wave.w * s->dead, fade = s->wave.a * s->dead;
  bool rings = s->wave.w2 > 0 && angle < 10 && fade < 0.8;
  return s->cs == 0 && s->lower == 0 && s->period == 0 &&
         (s->csw == 0 || rings);
}

/* The last output stands for a lacking one. */
static void begin(const bv_stage *s, size_t count, const double *outputs,
                  bv_lanes *restrict x) {
  x->fours = (count + 3) / 4;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    x->output[i] = outputs[i < count ? i : count - 1];
    x->slack[i] = 1;
    x->reflected[i] = (x->output[i] + s->drop) * s->per_n;
    x->settled[i] = x->reflected[i];
  }
}

/* Step 5, with the bend of cycle.c. For a large y the series makes the time too
 * short, which doesn't count where it is beyond the limit even so. */
static void pass(const bv_stage *s, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double u = x->output[i] + s->drop, current = x->current[i] * s->per_n;
    double across = 1 / (u + s->r * current / 2);
    double y = s->r * current * across / 2, h = bv_lane_excess(y * y);
    bv_ramp ramp = bv_ramp_of(s->ls, s->r, current, -current, -across, y, h);
    double share = ramp.charge * s->per_c / u;
    x->fall[i] = ramp.time / (1 + share / 6);
    x->out_charge[i] = ramp.charge;
    x->out_square[i] = ramp.square * (1 + share / 10);
    x->dead[i] = s->dead;
    x->timed_out[i] = x->recovered[i] = x->recovery[i] = 0;
    double beyond = x->fall[i] - (s->limit - x->rise[i]);
    bv_lanes_demand(x, i, bv_more(0.41 - y, beyond));
  }
}

/* Step 6. */
static void rest(const bv_stage *s, bv_lanes *restrict x) {
  for (size_t i = 0; s->csw == 0 && i < 4 * x->fours; i++)
    x->current[i] = 0;
  if (s->csw > 0)
    bv_lanes_rest(s, x);
}

/* Whether the off-time limit ends step 5 of any. */
static bool times_out(const bv_stage *s, bv_lanes *restrict x) {
  double most = 0;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double left = s->limit - x->rise[i];
    x->timed_out[i] = x->fall[i] > left;
    bv_lanes_demand(x, i, left);
  }
  for (size_t i = 0; i < 4 * x->fours; i++)
    most = bv_more(most, x->timed_out[i]);
  return most > 0;
}

/* What such a cycle has at the limit, as in bv_lanes, primary. */
typedef struct early {
  bv_lane current, charge, square;
} early;

/* Step 5 up to the limit. */
static void cut_short(const bv_stage *s, bv_lanes *restrict x,
                      early *restrict c) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double u = x->output[i] + s->drop, from = x->current[i] * s->per_n;
    double time = s->limit - x->rise[i], angle = s->r * time * s->off.per_l;
    double d = -(u + s->r * from) * time * s->off.per_l * bv_lane_faded(angle);
    double across = 1 / (u + s->r * (from + d / 2));
    double y = -s->r * d * across / 2, h = bv_lane_excess(y * y);
    bv_ramp ramp = bv_ramp_of(s->ls, s->r, from, d, -across, y, h);
    bool is = x->timed_out[i] > 0;
    double margin = bv_less(1.6 - angle, 0.41 - y);
    c->current[i] = (from + d) * s->n;
    c->charge[i] = x->charge[i];
    c->square[i] = x->square[i];
    x->fall[i] = is ? time : x->fall[i];
    x->out_charge[i] = is ? ramp.charge : x->out_charge[i];
    x->out_square[i] = is ? ramp.square : x->out_square[i];
    bv_lanes_demand(x, i, is ? margin : x->slack[i]);
  }
}

/* No step 6: current and node stay as they are. */
static void keep_on(const bv_stage *s, const early *c, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    bool is = x->timed_out[i] > 0;
    x->dead[i] = is ? 0 : x->dead[i];
    x->current[i] = is ? c->current[i] : x->current[i];
    x->charge[i] = is ? c->charge[i] : x->charge[i];
    x->square[i] = is ? c->square[i] : x->square[i];
    x->node[i] = is ? s->vin + x->settled[i] : x->node[i];
  }
}

/* The diodes that conduct at turn-on recover; see cycle_levels.c. */
static void recover(const bv_stage *s, bv_lanes *restrict x) {
  double longer = s->n * s->clamp.leakage / s->recovery;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double against = x->output[i] + s->n * s->vin;
    double down = longer * x->current[i] / against;
    double whole = x->current[i] * s->per_n * s->recovery * bv_lane_faded(down);
    bool is = x->timed_out[i] > 0;
    double charge = is ? bv_less(whole, x->output[i] * s->c) : 0;
    x->recovered[i] = charge;
    x->recovery[i] = charge * (against - charge * s->off.inverse / 2);
    x->out_charge[i] -= charge;
    x->charge[i] += s->n * charge;
    bv_lanes_demand(x, i, is ? 1.6 - down : x->slack[i]);
  }
}

/* Steps 5 and 6 where the limit ends some. */
static void pass_early(const bv_stage *s, bv_lanes *restrict x) {
  early c = {{0}, {0}, {0}};
  cut_short(s, x, &c);
  rest(s, x);
  keep_on(s, &c, x);
  if (s->recovery > 0)
    recover(s, x);
}

static void close_all(const bv_stage *s, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double v = x->output[i], off = x->rise[i] + x->fall[i];
    x->time[i] = x->on[i] + off + x->dead[i];
    x->bleeder[i] = s->bleed * v * v * x->time[i];
  }
}

BV_WIDE void bv_lanes_find(const bv_stage *s, size_t count,
                           const double *outputs, bv_lanes *restrict x) {
  begin(s, count, outputs, x);
  bv_lanes_turn_off(s, x);
  bv_lanes_release(s, x);
  if (s->core > 0)
    bv_lanes_lose_in_core(s, x);
  if (s->csw > 0)
    bv_lanes_rise(s, x);
  pass(s, x);
  if (s->limit < HUGE_VAL && times_out(s, x))
    pass_early(s, x);
  else
    rest(s, x);
  bv_lanes_conduct(s, x);
  close_all(s, x);
}

void bv_lanes_cycle(const bv_stage *s, const bv_lanes *x, size_t i,
                    bv_cycle *cycle) {
  bv_flow *f = &cycle->flow;
  bv_cycle_clear(cycle, x->on[i]);
  cycle->rise_time = x->rise[i];
  cycle->off_time = x->rise[i] + x->fall[i];
  cycle->dead_time = x->dead[i];
  cycle->peak_current = s->peak;
  cycle->low_current = x->low[i];
  cycle->reflected = x->reflected[i];
  f->time = x->time[i];
  f->cycles = f->turn_ons = 1;
  f->timed_out = x->timed_out[i];
  f->primary_charge = x->charge[i];
  f->primary_square = x->square[i];
  f->output_charge = x->out_charge[i];
  f->output_square = x->out_square[i];
  f->recharge_charge = x->recovered[i];
  f->clamp = x->clamp[i];
  f->overlap = x->overlap[i];
  f->turn_on = x->turn_on[i];
  f->bleeder = x->bleeder[i];
  f->core = x->core[i];
  f->recovery = x->recovery[i];
}

/* Lanes that don't count may hold anything. */
static double sum_of(size_t fours, const double *weights, const double *y) {
  double part[4] = {0};
  for (size_t i = 0; i < fours; i++)
    for (size_t k = 0; k < 4; k++) {
      double more = weights[4 * i + k] * y[4 * i + k];
      part[k] += weights[4 * i + k] > 0 ? more : 0;
    }
  return part[0] + part[1] + (part[2] + part[3]);
}

BV_WIDE void bv_lanes_sum(const bv_lanes *restrict x, const double *weights,
                          bv_flow *sums) {
  double cycles = 0;
  for (size_t i = 0; i < 4 * x->fours; i++)
    cycles += weights[i];
  sums->cycles += cycles;
  sums->turn_ons += cycles;
  sums->time += sum_of(x->fours, weights, x->time);
  sums->timed_out += sum_of(x->fours, weights, x->timed_out);
  sums->primary_charge += sum_of(x->fours, weights, x->charge);
  sums->primary_square += sum_of(x->fours, weights, x->square);
  sums->output_charge += sum_of(x->fours, weights, x->out_charge);
  sums->output_square += sum_of(x->fours, weights, x->out_square);
  sums->recharge_charge += sum_of(x->fours, weights, x->recovered);
  sums->clamp += sum_of(x->fours, weights, x->clamp);
  sums->overlap += sum_of(x->fours, weights, x->overlap);
  sums->turn_on += sum_of(x->fours, weights, x->turn_on);
  sums->bleeder += sum_of(x->fours, weights, x->bleeder);
  sums->core += sum_of(x->fours, weights, x->core);
  sums->recovery += sum_of(x->fours, weights, x->recovery);
}
