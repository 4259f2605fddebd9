/* SPDX-License-Identifier: MIT */
#include <math.h>

#include "model/cycle_lanes_steps.h"

enum { FIRST = BV_FIRST_CYCLES };

/* The square of the voltage across the secondary grows by the same in each
 * cycle, were nothing lost; the voltage by no more than the current brings that
 * falls until the off-time limit. */
static void expect(const bv_stage *s, double output, bv_lanes *restrict x) {
  double is = s->peak * s->per_n, inverse = s->off.inverse;
  double energy2 = s->l * (s->peak * s->peak - s->lower * s->lower);
  double u = output + s->drop, part = s->limit / (s->ls * is);
  double most = is * s->limit * inverse, added = energy2 * inverse;
  for (size_t i = 0; i < FIRST; i++) {
    double fallen = bv_less(part * (u + s->r * is / 2), 1);
    x->reflected[i] = u * s->per_n;
    u = bv_less(u + most * (1 - fallen / 2), sqrt(u * u + added));
    x->settled[i] = s->csw > 0 ? u * s->per_n : x->reflected[i];
    x->slack[i] = 1;
  }
}

static void tell(const bv_stage *s, const bv_lanes *x, size_t i,
                 bv_release *told) {
  double all = x->current[i] + x->square[i] + x->rise[i];
  bool known = x->slack[i] > 0 && isfinite(all);
  *told = (bv_release){.peak = known ? s->peak : 0,
                       .current = x->current[i],
                       .settled = x->settled[i],
                       .rise = x->rise[i],
                       .charge = x->charge[i],
                       .square = x->square[i],
                       .clamp = x->clamp[i],
                       .overlap = x->overlap[i],
                       .core = x->core[i]};
}

BV_WIDE void bv_cycle_first(const bv_stage *s, double output,
                            bv_release first[BV_FIRST_CYCLES]) {
  bv_lanes x;
  x.fours = FIRST / 4;
  expect(s, output, &x);
  bv_lanes_turn_off(s, &x);
  bv_lanes_release(s, &x);
  if (s->core > 0)
    bv_lanes_lose_in_core(s, &x);
  if (s->csw > 0)
    bv_lanes_rise(s, &x);
  for (size_t i = 0; i < FIRST; i++) {
    bv_lanes_demand(&x, i, s->cs == 0);
    tell(s, &x, i, &first[i]);
  }
}
