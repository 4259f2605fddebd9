/* SPDX-License-Identifier: MIT */
#include "model/cycle.h"

/* Without branches and aliases, so that compilers make vectors of it. */
static void add_scaled(double *restrict to, double weight,
                       const double *restrict from) {
#pragma GCC unroll 8
  for (size_t i = 0; i < sizeof(bv_flow) / sizeof *from; i++)
    to[i] += weight * from[i];
}

void bv_flow_add(bv_flow *restrict sum, double weight,
                 const bv_flow *restrict flow) {
  add_scaled((double *) sum, weight, (const double *) flow);
}

/* Member by member: an assignment of the whole becomes a slow string
 * instruction, in every cycle. */
void bv_cycle_clear(bv_cycle *cycle, double on_time) {
  _Static_assert(sizeof(bv_flow) == 16 * sizeof(double), "members left out");
  bv_flow *f = &cycle->flow;
  f->time = f->cycles = f->turn_ons = f->timed_out = 0;
  f->primary_charge = f->primary_square = f->output_charge = 0;
  f->output_square = f->recharge_charge = f->recharge_square = 0;
  f->clamp = f->overlap = f->turn_on = f->bleeder = f->core = f->recovery = 0;
  cycle->on_time = on_time;
  cycle->rise_time = cycle->off_time = cycle->dead_time = 0;
  cycle->peak_current = cycle->low_current = cycle->recharge_peak = 0;
  cycle->pulse_charge = cycle->reflected = 0;
}
