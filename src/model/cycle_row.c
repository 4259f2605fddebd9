/* SPDX-License-Identifier: MIT */
#include "model/cycle_row.h"

#include "model/cycle_lanes_steps.h"

/* Cycles of a row, their thirds, and how often outputs are made anew. */
enum { ROW = BV_CYCLE_EACH_MOST, THIRD = ROW / 3, PASSES = 6 };

/* After a row that failed so many cycles are run one by one. */
enum { IN_FULL = 2 * ROW };

static const double enough = 1e-9; /* of the output's square */

/* Squares of the outputs before the cycles and after the last, and what each
 * cycle makes of its own, V2. */
typedef struct squares {
  double before[ROW + 1], gain[ROW];
} squares;

/* The first row knows but the energy of the inductance. */
static void recall(const bv_stage *s, bv_row *row) {
  double first = s->l * s->peak * s->peak * s->per_c;
  if (row->gains[0] == 0)
    row->gains[0] = row->gains[1] = row->gains[2] = first;
}

/* The gains go on along a parabola. */
static void extend(const bv_row *row, double output, squares *restrict w) {
  const double *g = row->gains;
  double slope = g[2] - g[1], bend = (g[2] - 2 * g[1] + g[0]) / 2;
  w->before[0] = output * output;
  for (int i = 0; i < ROW; i++) {
    double t = (double) (i + 1) / THIRD;
    w->before[i + 1] = w->before[i] + g[2] + t * (slope + (t + 1) * bend);
  }
}

static void note(const squares *w, bv_row *row) {
  for (int i = 0; i < 3; i++)
    row->gains[i] = w->gain[THIRD * (i + 1) - 1];
}

/* Where the cycles start; `settled` as cycle.c has it where no limit ends step
 * 5. */
static void begin(const bv_stage *s, const squares *w, bv_lanes *restrict x) {
  double added = s->l * s->peak * s->peak * s->off.inverse;
  double is = s->peak * s->per_n;
  for (size_t i = 0; i < ROW; i++) {
    double output = sqrt(w->before[i]), u = output + s->drop;
    double room = s->limit * (u + s->r * is / 2) - s->ls * is;
    x->output[i] = output;
    x->reflected[i] = u * s->per_n;
    x->settled[i] = sqrt(u * u + added) * s->per_n;
    x->slack[i] = s->limit < HUGE_VAL ? room : 1;
  }
}

/* 1 - exp(-x) for 0 <= x <= 0.4. */
static inline double faded(double x) {
  double part = x / 4, once = part * bv_lane_growth(-part);
  double twice = once * (2 - once);
  return twice * (2 - twice);
}

/* Step 5 as cycle_off.c has it; the voltage's rise is taken without a
 * difference of large numbers. */
static void pass(const bv_stage *s, bv_lanes *restrict x) {
  const bv_off_loop *loop = &s->off;
  double l = loop->l, r = loop->r, inverse = loop->inverse, c = loop->c;
  double w2 = loop->wave.w2, a = loop->wave.a, ratio = c * loop->per_l;
  for (size_t i = 0; i < ROW; i++) {
    double u = x->output[i] + s->drop, is = x->current[i] * s->per_n;
    double along = l * is / (u + r * is / 2), z = w2 * along * along;
    double time = along * (1 - z * bv_lane_excess_near(-z));
    double more = (r * is + l * is * is * inverse / u) / u;
    double root = more / (1 + sqrt(1 + more)), gone = faded(a * time);
    double grown = u * (root - gone - root * gone), end = u + grown;
    double energy = l * is * is - grown * (end + u) * c;
    double even = (is * is + u * u * ratio) * time - is * u * c;
    bool lossy = r * is > 1e-8 * (u + end);
    x->fall[i] = time;
    x->out_charge[i] = grown * c;
    x->out_square[i] = lossy ? energy / (2 * r) : even / 2;
    double left = s->limit - x->rise[i] - time;
    double room = s->target - x->output[i] - 3 * grown;
    bv_lanes_demand(x, i, bv_less(bv_less(left, room), grown));
    bv_lanes_demand(x, i, bv_less(0.04 - fabs(z), 0.4 - a * time));
  }
}

/* Each cycle leaves current and node to the next, the last to the row's end. */
static void hand_on(const bv_state *start, bv_lanes *restrict x,
                    bv_state *restrict end) {
  end->current = x->current[ROW - 1];
  end->node = x->node[ROW - 1];
  for (size_t i = ROW - 1; i > 0; i--) {
    x->current[i] = x->current[i - 1];
    x->node[i] = x->node[i - 1];
  }
  x->current[0] = start->current;
  x->node[0] = start->node;
}

/* As in cycle.c. */
static void bleed(const bv_stage *s, bv_lanes *restrict x,
                  squares *restrict w) {
  for (size_t i = 0; i < ROW; i++) {
    double from = x->output[i], rise = x->out_charge[i] * s->per_c;
    double to = from + rise, from2 = from * from, to2 = to * to;
    x->bleeder[i] =
        s->bleed * (from2 * (x->on[i] + x->rise[i]) +
                    (from2 + 2 * to2) / 3 * x->fall[i] + to2 * s->dead);
    w->gain[i] = rise * (to + from) - 2 * x->bleeder[i] * s->per_c;
    bv_lanes_demand(x, i, w->gain[i]);
  }
}

/* Every cycle at its output; whether all are of the usual kind. */
static bool find(const bv_stage *s, const bv_state *start, bv_lanes *restrict x,
                 squares *restrict w, bv_state *restrict end) {
  begin(s, w, x);
  bv_lanes_turn_off(s, x);
  bv_lanes_release(s, x);
  if (s->core > 0)
    bv_lanes_lose_in_core(s, x);
  bv_lanes_rise(s, x);
  pass(s, x);
  bv_lanes_rest(s, x);
  hand_on(start, x, end);
  bv_lanes_conduct(s, x);
  bleed(s, x, w);
  bool all = true;
  for (size_t i = 0; i < ROW; i++)
    all = all && bv_lanes_hold(x, i);
  return all;
}

/* The outputs from what the cycles bring; by how much they move. */
static double follow(squares *w) {
  double most = 0, square = w->before[0];
  for (size_t i = 0; i < ROW; i++) {
    square += w->gain[i];
    most = bv_more(most, fabs(square - w->before[i + 1]));
    w->before[i + 1] = square;
  }
  return most / w->before[0];
}

static void book(const bv_stage *s, const bv_lanes *x, bv_flow *sums) {
  bv_flow f = {.time = ROW * s->dead, .cycles = ROW, .turn_ons = ROW};
  for (size_t i = 0; i < ROW; i++) {
    f.time += x->on[i] + x->rise[i] + x->fall[i];
    f.primary_charge += x->charge[i];
    f.primary_square += x->square[i];
    f.output_charge += x->out_charge[i];
    f.output_square += x->out_square[i];
    f.clamp += x->clamp[i];
    f.overlap += x->overlap[i];
    f.turn_on += x->turn_on[i];
    f.bleeder += x->bleeder[i];
    f.core += x->core[i];
  }
  bv_flow_add(sums, 1, &f);
}

static bool run(const bv_stage *s, bv_row *row, bv_state *state,
                bv_flow *sums) {
  bv_lanes x;
  squares w;
  bv_state end = *state;
  bool stay = false;
  x.fours = ROW / 4;
  recall(s, row);
  extend(row, state->output, &w);
  for (int i = 0; i < PASSES && !stay; i++) {
    if (!find(s, state, &x, &w, &end))
      return false;
    stay = follow(&w) <= enough;
  }
  if (!stay)
    return false;
  note(&w, row);
  end.output = sqrt(w.before[ROW]);
  book(s, &x, sums);
  *state = end;
  return true;
}

BV_WIDE long bv_cycle_rows(const bv_stage *s, long most, bv_row *row,
                           bv_state *state, bv_flow *sums) {
  long count = 0;
  if (!bv_lanes_fit(s) || s->csw == 0 || state->conducts || row->in_full-- > 0)
    return 0;
  while (count + ROW <= most && run(s, row, state, sums))
    count += ROW;
  row->in_full = IN_FULL;
  return count;
}
