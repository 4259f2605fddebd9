/* SPDX-License-Identifier: MIT */
#include "model/cycle_skip.h"

#include <math.h>

#include "base/quadrature.h"

/* Fewer cycles than this are run in full. */
enum { LEAST = 64 };

static const double first_stretch = 0.1;

/* A stretch under way. */
typedef struct stretch {
  const bv_stage *stage;
  bv_state state; /* of the cycle run last */
  bv_flow flow;   /* its amounts */
  double gain;    /* V2, by which it raised w */
} stretch;

/* One cycle whose middle is at w where its gain is that of the cycle before. */
static bool run_cycle(stretch *x, double w) {
  bv_cycle cycle;
  bool done = false;
  x->state.output = sqrt(w - x->gain / 2);
  double before = x->state.output * x->state.output;
  if (bv_cycle_next(x->stage, &x->state, &cycle, &done) != BV_REASON_OK)
    return false;
  x->flow = cycle.flow;
  x->gain = x->state.output * x->state.output - before;
  return x->gain > 0 && !done && cycle.flow.timed_out == 0 &&
         !(cycle.dead_time > x->stage->dead);
}

/* A cycle at w after two that lead to it: the first tells the gain there, from
 * the second the node is left where it would be. */
static bool sample(stretch *x, double w) {
  return run_cycle(x, w - 2 * x->gain) && run_cycle(x, w - x->gain) &&
         run_cycle(x, w);
}

/* The largest relative difference of two sums. */
static double difference(const bv_flow *fine, const bv_flow *coarse) {
  const double *a = (const double *) fine, *b = (const double *) coarse;
  double most = 0;
  for (size_t i = 0; i < sizeof *fine / sizeof *a; i++)
    if (a[i] != 0)
      most = bv_more(most, fabs(b[i] / a[i] - 1));
  return most;
}

/* Whether cycles at w are alike: a sum over them is an integral but for about
 * 1/(24 k^2), k their number up to there. */
static bool alike(const stretch *x, double w, double tolerance) {
  return x->gain * x->gain < 24 * tolerance * w * w;
}

/* The sums from lo to hi; false where there are none. */
static bool integrate(stretch *x, double lo, double hi, bv_flow *fine,
                      double *error) {
  bv_flow coarse = *fine = (bv_flow){0};
  bv_kronrod rule = bv_quadrature_kronrod();
  for (size_t i = 0; i < rule.count; i++) {
    if (!sample(x, lo + (hi - lo) * (1 + rule.nodes[i]) / 2))
      return false;
    double share = (hi - lo) / 2 / x->gain;
    bv_flow_add(fine, rule.weights[i] * share, &x->flow);
    bv_flow_add(&coarse, rule.inner[i] * share, &x->flow);
  }
  *error = difference(fine, &coarse);
  return sample(x, hi);
}

/* The factor on the next stretch: the error goes as its sixth power. */
static double growth(double tolerance, double error) {
  double factor = 0.9 * pow(tolerance / bv_more(error, 1e-300), 1.0 / 6);
  return bv_less(2, bv_more(0.2, factor));
}

/* Ends at a whole number of cycles, the last of them run in full. */
static long take(stretch *x, double hi, bv_flow *fine, bv_state *state,
                 bv_flow *sums) {
  double whole = floor(fine->cycles), over = fine->cycles - whole;
  bv_flow_add(fine, -over, &x->flow);
  fine->cycles = fine->turn_ons = whole; /* but for rounding it is */
  double end = hi - over * x->gain;
  if (!run_cycle(x, end - x->gain / 2))
    return 0;
  bv_flow_add(sums, 1, fine);
  *state = x->state;
  state->output = sqrt(end);
  return (long) whole;
}

long bv_cycle_skip(const bv_stage *s, double until, bv_skip *skip,
                   bv_state *state, bv_flow *sums) {
  stretch x = {.stage = s, .state = *state};
  double lo = state->output * state->output, error = HUGE_VAL;
  bv_flow fine;
  if (s->cs > 0 || skip->in_full-- > 0)
    return 0;
  skip->in_full = LEAST;
  if (!run_cycle(&x, lo) || !alike(&x, lo, skip->tolerance))
    return 0;
  if (skip->stretch == 0)
    skip->stretch = first_stretch;
  double hi = bv_less(lo * (1 + skip->stretch), until * until - 2 * x.gain);
  if (hi - lo < LEAST * x.gain) {
    skip->stretch = 2 * LEAST * x.gain / lo;
    return 0;
  }
  skip->in_full = 0;
  double rounding = 1e-13 * lo / x.gain; /* of a cycle among so many */
  double tolerance = bv_more(skip->tolerance, rounding);
  bool found = integrate(&x, lo, hi, &fine, &error);
  skip->stretch *= growth(tolerance, error);
  return found && error < tolerance ? take(&x, hi, &fine, state, sums) : 0;
}
