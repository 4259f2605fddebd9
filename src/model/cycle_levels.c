/* SPDX-License-Identifier: MIT */
/* Charging between two current levels: step 5 ends at the lower one. There, and
 * where the off-time limit ended it, the turn-on takes the current over. */
#include <math.h>

#include "base/root.h"
#include "model/cycle.h"

typedef struct fall {
  const bv_off_loop *loop;
  double u, i, level;
} fall;

static double above(double time, const void *context) {
  const fall *x = context;
  return bv_off_for(x->loop, x->u, x->i, time).current - x->level;
}

double bv_cycle_fall_time(const bv_stage *s, const bv_off_loop *loop, double u,
                          double current) {
  fall x = {loop, u, current / s->n, s->lower / s->n};
  if (!(x.i > x.level))
    return 0;
  if (loop->inverse == 0)
    return bv_ramp_to(loop->l, -u, loop->r, x.i, x.level).time;
  double whole = bv_off_full(loop, u, x.i).time, time = whole;
  bv_root_find(above, &x, 0, whole, 1e-12 * whole, &time);
  return time;
}

double bv_recovery_charge(double current, double lifetime, double down) {
  double x = down / lifetime;
  if (!(lifetime > 0))
    return 0;
  return current * lifetime * (x > 1e-6 ? -expm1(-x) / x : 1 - x / 2);
}

/* The overlap comes out of the inductance, as at turn-off. The charge that the
 * diodes take to recover comes back from output and series capacitor and, times
 * n, from the supply; all of its energy is lost. The leakage makes the slope at
 * which they are driven into it. It sees no drop on its way back, and counts as
 * recharge for that. Current in the leakage holds the voltage off the switch
 * meanwhile: the loss heats the diodes and what damps the ring after their
 * snap, not the switch. */
void bv_cycle_take_over(const bv_stage *s, bv_state *state, bv_cycle *cycle) {
  double i = state->current, whole = s->l * i * i / 2;
  double overlap = bv_less(state->node * i * s->rise / 2, whole);
  double against = state->output - state->series + s->n * s->vin;
  double down = s->n * s->clamp.leakage * i / bv_more(against, 1e-9);
  double charge = bv_recovery_charge(i * s->per_n, s->recovery, down);
  charge = bv_less(charge, state->output * s->c);
  double reverse = against - charge * s->off.inverse / 2;
  state->current = sqrt(2 * (whole - overlap) / s->l);
  cycle->flow.overlap += overlap;
  cycle->flow.recovery += charge * reverse;
  cycle->flow.output_charge -= charge;
  cycle->flow.recharge_charge += charge;
  cycle->flow.primary_charge += s->n * charge;
  if (s->cs > 0)
    state->series += charge / s->cs;
}
