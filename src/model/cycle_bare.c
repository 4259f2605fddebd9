/* SPDX-License-Identifier: MIT */
#include "model/cycle_bare.h"

#include <math.h>

bool bv_cycle_bare_fits(const bv_stage *s) {
  return s->cs == 0 && s->csw == 0 && s->clamp.leakage == 0 && s->fall == 0 &&
         s->bleed == 0 && s->limit == HUGE_VAL && s->period == 0 &&
         s->core == 0 && s->least_on <= s->on_time;
}

/* What does not depend on the output, and what follows from the sums. */
static void book(const bv_stage *s, double count, double off_time,
                 double square, double charge, bv_flow *sums) {
  bv_ramp on = bv_ramp_to(s->l, s->vin, s->rp, 0, s->peak);
  bv_flow all = {.time = off_time + count * (on.time + s->dead),
                 .cycles = count,
                 .turn_ons = count,
                 .primary_charge = count * on.charge,
                 .primary_square = count * on.square,
                 .output_charge = charge,
                 .output_square = square};
  bv_flow_add(sums, 1, &all);
}

/* The squared secondary current from the energy that was lost. */
static double square_of(const bv_stage *s, double count, double u0, double u1) {
  double is = s->peak / s->n, gained = (u1 - u0) * (u1 + u0) * s->off.c;
  return (count * s->ls * is * is - gained) / (2 * s->r);
}

long bv_cycle_bare_run(const bv_stage *s, long most, bv_state *state,
                       bv_flow *sums) {
  const bv_off_loop *loop = &s->off;
  double is = s->peak / s->n, added = loop->l * is * is * loop->inverse;
  double drop = loop->r * is, ratio = loop->c / loop->l;
  double u0 = state->output + s->drop, u = u0, time = 0, square = 0;
  long count = 0;
  for (; count < most; count++) {
    double x = loop->l * is / (u + drop / 2), z = loop->wave.w2 * x * x;
    if (!(fabs(z) < 0.04))
      break; /* the first cycles, arcs of L and C */
    double t = x * (1 - z * bv_ramp_excess(-z));
    double next = sqrt(u * u + drop * u + added);
    if (loop->wave.a > 0)
      next *= bv_fade(loop->wave.a * t);
    if (3 * next - 2 * u >= s->target + s->drop)
      break;
    square += ((is * is + u * u * ratio) * t - is * u * loop->c) / 2;
    time += t;
    u = next;
  }
  if (s->r > 0)
    square = square_of(s, (double) count, u0, u);
  book(s, (double) count, time, square, (u - u0) * loop->c, sums);
  state->output = u - s->drop;
  return count;
}
