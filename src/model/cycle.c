/* SPDX-License-Identifier: MIT */
#include "model/cycle.h"

#include <math.h>

/* Adds what is known once the cycle is over; the output rises from one value to
 * another, in step 5 along a parabola. */
static void close_cycle(const bv_stage *s, double from, double to,
                        bv_cycle *c) {
  double off = c->off_time - c->rise_time, from2 = from * from, to2 = to * to;
  c->flow.time = c->on_time + c->off_time + c->dead_time;
  c->flow.cycles = c->flow.turn_ons = 1;
  c->flow.bleeder =
      s->bleed * (from2 * (c->on_time + c->rise_time) +
                  (from2 + 2 * to2) / 3 * off + to2 * c->dead_time);
}

static void add_ramp(const bv_ramp *ramp, bv_state *state, bv_cycle *cycle) {
  cycle->on_time += ramp->time;
  cycle->flow.primary_charge += ramp->charge;
  cycle->flow.primary_square += ramp->square;
  state->current = ramp->current;
}

/* Steps 1 and 2. */
static bv_reason conduct(const bv_stage *s, bv_state *state, bv_cycle *cycle) {
  if (state->conducts && (s->rise > 0 || s->recovery > 0))
    bv_cycle_take_over(s, state, cycle);
  cycle->flow.turn_on += s->csw * state->node * state->node / 2;
  state->node = 0;
  cycle->low_current = state->current;
  cycle->on_time = 0;
  if (s->cs > 0) {
    bv_reason reason = bv_doubler_recharge(s, state, cycle);
    if (reason != BV_REASON_OK)
      return reason;
  }
  bv_ramp ramp =
      state->current < s->ip
          ? bv_ramp_to(s->l, s->vin, s->rp, state->current, s->peak)
          : bv_ramp_for(s->l, s->vin, s->rp, state->current, s->delay);
  double least = s->least_on - cycle->on_time;
  if (ramp.time < least)
    ramp = bv_ramp_for(s->l, s->vin, s->rp, state->current, least);
  add_ramp(&ramp, state, cycle);
  return BV_REASON_OK;
}

static void pass_charge(const bv_stage *s, const bv_off *off, bv_state *state,
                        bv_cycle *cycle) {
  cycle->off_time = cycle->rise_time + off->time;
  cycle->flow.output_charge += off->charge;
  cycle->flow.output_square += off->square;
  if (s->cs > 0)
    state->series -= off->charge / s->cs;
}

/* How far below the supply the node is caught in step 6: by the body diode, or
 * before it by the doubler's first diode. */
static double catch_level(const bv_stage *s, const bv_state *state) {
  if (s->cs == 0)
    return s->vin;
  return bv_less(s->vin, (state->series + s->diode) * s->per_n);
}

void bv_cycle_rest(const bv_stage *s, double reflected, double time,
                   bv_state *state, bv_cycle *cycle) {
  bv_cycle_dead(s, reflected, catch_level(s, state), time, state, cycle);
}

/* Step 6, or where the off-time limit came first nothing. At a constant output
 * a longer wait ends anywhere in the ring. */
static void rest(const bv_stage *s, bool timed_out, double reflected,
                 bv_state *state, bv_cycle *cycle) {
  cycle->flow.timed_out = timed_out;
  cycle->dead_time = 0;
  state->conducts = timed_out;
  if (timed_out)
    return;
  double wait = s->period - cycle->on_time - cycle->off_time;
  if (wait > s->dead && state->averaged)
    bv_cycle_idle(s, reflected, catch_level(s, state), wait, state, cycle);
  else
    bv_cycle_rest(s, reflected, bv_more(s->dead, wait), state, cycle);
}

/* The loop of step 5 and the charge missing to the target, A s. */
typedef struct way {
  const bv_off_loop *loop;
  double reach;
} way;

/* The off-time limit or the way to the lower level, later where the maximum
 * frequency asks for it. */
static double limit_of(const bv_stage *s, const way *path, double u,
                       double current, const bv_cycle *cycle) {
  double limit = s->limit;
  if (s->lower > 0)
    limit = bv_less(limit, cycle->rise_time +
                               bv_cycle_fall_time(s, path->loop, u, current));
  return bv_more(limit, s->period - cycle->on_time) - cycle->rise_time;
}

/* Step 5 up to its end, the off-time limit or the target. */
typedef struct off_end {
  double charge; /* A s, passed */
  bool timed_out, done;
} off_end;

/* At a constant output that stands for the middle of a cycle: the storage
 * capacitor bends the straight fall of the current into an arc of L and C, here
 * to first order in 1/k at the k-th cycle. */
static void bend(const bv_stage *s, double u, bv_off *off) {
  double share = off->charge * s->per_c / u;
  off->time /= 1 + share / 6;
  off->square *= 1 + share / 10;
}

static bv_off step_off(const bv_stage *s, const way *path, double u, double i,
                       double limit, off_end *end) {
  const bv_off_loop *loop = path->loop;
  bv_off off = bv_off_full(loop, u, i);
  if (loop->inverse == 0)
    bend(s, u, &off);
  end->timed_out = !(off.time <= limit);
  if (end->timed_out)
    off = bv_off_for(loop, u, i, limit);
  end->done = off.charge >= path->reach;
  if (end->done)
    off = bv_off_charge(loop, u, i, path->reach, off.time);
  end->charge = off.charge;
  return off;
}

/* Voltage against the secondary current. */
static double against(const bv_stage *s, const bv_state *state) {
  return state->output + s->drop - state->series;
}

/* Steps 3 and 4; the node settles at the given reflected voltage. */
static bv_reason release(const bv_stage *s, double settled, bv_state *state,
                         bv_cycle *cycle) {
  return bv_cycle_release(s, against(s, state) * s->per_n, settled, state,
                          cycle);
}

/* Step 5. */
static bv_reason pass(const bv_stage *s, const way *path, bv_state *state,
                      bv_cycle *cycle, off_end *end) {
  double u = against(s, state);
  double limit = limit_of(s, path, u, state->current, cycle);
  if (!(limit > 0))
    return s->lower > 0 ? BV_REASON_STALL : BV_REASON_OFF_LIMIT_SHORT;
  double current = state->current * s->per_n;
  bv_off off = step_off(s, path, u, current, limit, end);
  pass_charge(s, &off, state, cycle);
  state->current = off.current * s->n;
  return BV_REASON_OK;
}

/* Whether step 5 may end before the current does. */
static bool may_time_out(const bv_stage *s, double u, double current) {
  double i = current * s->per_n;
  if (s->lower > 0)
    return true;
  return s->limit < HUGE_VAL && !(s->ls * i < s->limit * (u + s->r * i / 2));
}

/* The reflected voltage at the end of step 5: the storage capacitor has risen
 * by then, by about the energy in the inductance; where the off-time limit acts
 * or the doubler's series capacitor falls, by as much as a first pass shows. */
static bv_reason settle(const bv_stage *s, const way *path,
                        const bv_state *state, const bv_cycle *cycle,
                        double *reflected) {
  double u = against(s, state);
  *reflected = u * s->per_n;
  if (s->csw == 0 || path->loop->inverse == 0)
    return BV_REASON_OK;
  if (s->cs == 0 && !may_time_out(s, u, state->current)) {
    double energy = s->l * state->current * state->current;
    *reflected = sqrt(u * u + energy * path->loop->inverse) * s->per_n;
    return BV_REASON_OK;
  }
  off_end end = {0};
  bv_state trial = {.current = state->current,
                    .output = state->output,
                    .series = state->series};
  bv_cycle discarded = {.on_time = cycle->on_time};
  bv_reason reason = release(s, *reflected, &trial, &discarded);
  if (reason == BV_REASON_OK)
    reason = pass(s, path, &trial, &discarded, &end);
  if (reason == BV_REASON_OK)
    *reflected += end.charge * path->loop->inverse * s->per_n;
  return reason;
}

static void take_release(const bv_stage *s, const bv_release *told,
                         bv_state *state, bv_cycle *cycle) {
  cycle->peak_current = told->peak;
  cycle->reflected = told->settled;
  cycle->rise_time = told->rise;
  cycle->flow.primary_charge += told->charge;
  cycle->flow.primary_square += told->square;
  cycle->flow.clamp += told->clamp;
  cycle->flow.overlap += told->overlap;
  cycle->flow.core += told->core;
  state->current = told->current;
  state->node = s->vin + told->settled;
}

/* Steps 3 and 4, as told where that holds. */
static bv_reason let_go(const bv_stage *s, const bv_release *told,
                        const way *path, bv_state *state, bv_cycle *cycle) {
  if (told && told->peak == state->current) {
    take_release(s, told, state, cycle);
    return BV_REASON_OK;
  }
  double settled;
  bv_reason reason = settle(s, path, state, cycle, &settled);
  return reason == BV_REASON_OK ? release(s, settled, state, cycle) : reason;
}

/* Steps 3 to 6. */
static bv_reason release_and_rest(const bv_stage *s, const bv_release *told,
                                  const way *path, bv_state *state,
                                  bv_cycle *cycle, bool *done) {
  off_end end = {0};
  bv_reason reason = let_go(s, told, path, state, cycle);
  if (reason == BV_REASON_OK)
    reason = pass(s, path, state, cycle, &end);
  if (reason != BV_REASON_OK)
    return reason;
  *done = end.done;
  if (!end.done)
    rest(s, end.timed_out, cycle->reflected, state, cycle);
  return BV_REASON_OK;
}

/* A cycle at a constant output that is to repeat itself. */
typedef struct turning {
  bv_state state;
  bv_cycle *cycle;
} turning;

/* One turn at a constant output, from the end of step 2 to the end of the next.
 * The on-time before it is taken as that from zero current. */
static bv_reason turn(const bv_stage *s, turning *t) {
  way path = {&s->held, HUGE_VAL};
  off_end end = {0};
  bv_state *state = &t->state;
  bv_cycle *cycle = t->cycle;
  bv_cycle_clear(cycle, s->on_time);
  bv_reason reason = let_go(s, NULL, &path, state, cycle);
  if (reason == BV_REASON_OK)
    reason = pass(s, &path, state, cycle, &end);
  if (reason != BV_REASON_OK)
    return reason;
  rest(s, end.timed_out, cycle->reflected, state, cycle);
  double peak = cycle->peak_current;
  reason = conduct(s, state, cycle);
  cycle->peak_current = bv_more(peak, state->current);
  return reason;
}

/* Single rectifier: the peak current is known, so one turn repeats itself; only
 * where the off-time limit leaves more than the comparator level, or the
 * comparator is blind too long, is it repeated until the peak settles. */
static bv_reason repeat_single(const bv_stage *s, turning *repeated) {
  double before = s->peak;
  for (int i = 0; i < 50; i++) {
    bv_reason reason = turn(s, repeated);
    double peak = repeated->state.current;
    if (reason != BV_REASON_OK || fabs(peak - before) <= 1e-9 * before)
      return reason;
    before = peak;
  }
  return BV_REASON_OK;
}

/* Doubler: the series capacitor's voltage at turn-off from a peak current that
 * comes back after a turn, by the secant on v -> v(next) - v, or where pulses
 * that come and go bend it, by half steps, which contract. `off` is how far off
 * the guess was at an output nearby, V. */
static bv_reason settle_series(const bv_stage *s, double peak, double *off,
                               turning *repeated) {
  bv_state *state = &repeated->state;
  double slope, guess = bv_doubler_guess(s, state->output, &slope);
  double v = guess + *off, last = 0, last_gap = 0;
  for (int i = 0; i < 50; i++) {
    state->current = peak;
    state->series = v;
    bv_reason reason = turn(s, repeated);
    if (reason != BV_REASON_OK)
      return reason;
    double gap = state->series - v;
    *off = v - guess;
    if (fabs(gap) < 1e-6 * s->n * s->vin)
      return BV_REASON_OK;
    if (i > 0)
      slope = (gap - last_gap) / (v - last);
    last = v;
    last_gap = gap;
    v += i < 8 && slope < -0.1 ? -gap / slope : 0.5 * gap;
  }
  return BV_REASON_DOUBLER_START;
}

/* As with a single rectifier the peak is known, or what the off-time limit
 * leaves makes another, repeated until it settles: by the secant, which the
 * slow approach at low outputs asks for. */
static bv_reason repeat_doubler(const bv_stage *s, double *off,
                                turning *repeated) {
  double peak = s->peak, last = 0, last_gap = 0;
  for (int i = 0; i < 50; i++) {
    bv_reason reason = settle_series(s, peak, off, repeated);
    double gap = repeated->state.current - peak;
    if (reason != BV_REASON_OK || fabs(gap) <= 1e-6 * peak)
      return reason;
    double slope = i > 0 ? (gap - last_gap) / (peak - last) : -1;
    last = peak;
    last_gap = gap;
    peak = bv_more(s->peak, peak + gap * (slope < -0.1 ? -1 / slope : 10));
  }
  return BV_REASON_OK;
}

bv_reason bv_cycle_near(const bv_stage *s, double output, double *off,
                        bv_cycle *cycle) {
  turning repeated = {
      .state = {.current = s->peak, .output = output, .averaged = true},
      .cycle = cycle};
  bv_reason reason = s->cs > 0 ? repeat_doubler(s, off, &repeated)
                               : repeat_single(s, &repeated);
  close_cycle(s, output, output, cycle);
  return reason;
}

bv_reason bv_cycle_at(const bv_stage *s, double output, bv_cycle *cycle) {
  double off = 0;
  return bv_cycle_near(s, output, &off, cycle);
}

double bv_cycle_off_time(const bv_stage *s, double output) {
  bv_cycle cycle = {.on_time = s->on_time};
  if (s->cs > 0) {
    bv_stage unlimited = *s;
    unlimited.limit = HUGE_VAL;
    bool found = bv_cycle_at(&unlimited, output, &cycle) == BV_REASON_OK;
    return found ? cycle.off_time : (double) NAN;
  }
  double u = output + s->drop;
  bv_state state = {.current = s->peak, .output = output};
  double reflected = u * s->per_n;
  if (bv_cycle_release(s, reflected, reflected, &state, &cycle) != BV_REASON_OK)
    return (double) NAN;
  return cycle.rise_time +
         bv_off_full(&s->held, u, state.current * s->per_n).time;
}

/* The storage capacitor at a voltage after the bleeder took an energy. */
static double bled(const bv_stage *s, double output, double energy) {
  return sqrt(bv_more(0, output * output - 2 * energy * s->per_c));
}

/* What the bleeder takes up to step 5 is taken with the rest after it: that
 * spares step 5 from waiting for it. */
bv_reason bv_cycle_next_told(const bv_stage *s, const bv_release *told,
                             bv_state *state, bv_cycle *cycle, bool *done) {
  bv_cycle_clear(cycle, 0);
  bv_reason reason = conduct(s, state, cycle);
  double before = state->output;
  double start = before + cycle->flow.output_charge * s->per_c; /* recovery */
  state->output = start;
  double early = s->bleed * start * start * cycle->on_time;
  double lowered = early > 0 ? bled(s, start, early) : start;
  way path = {&s->off, (s->target - lowered) * s->c};
  if (reason == BV_REASON_OK)
    reason = release_and_rest(s, told, &path, state, cycle, done);
  if (reason != BV_REASON_OK)
    return reason;
  double end = before + cycle->flow.output_charge * s->per_c;
  close_cycle(s, start, end, cycle);
  if (*done) {
    end = s->target;
    cycle->flow.bleeder = early;
  } else if (s->bleed > 0) {
    end = bled(s, end, cycle->flow.bleeder);
  }
  state->output = end;
  return BV_REASON_OK;
}

bv_reason bv_cycle_next(const bv_stage *s, bv_state *state, bv_cycle *cycle,
                        bool *done) {
  return bv_cycle_next_told(s, NULL, state, cycle, done);
}
