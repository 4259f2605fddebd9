/* SPDX-License-Identifier: MIT */
/* Many alike cycles of a circuit whose primary side has no losses but
 * resistance and no capacitance: every on-time is the same, so that only the
 * voltage of the storage capacitor has to be followed. */
#ifndef BV_MODEL_CYCLE_BARE_H
#define BV_MODEL_CYCLE_BARE_H

#include "model/cycle.h"

/* Whether the circuit is of that kind: single rectifier or split secondary, no
 * node capacitance, leakage, current fall time, bleeder, off-time limit,
 * maximum frequency, core loss or long blanking. */
bool bv_cycle_bare_fits(const bv_stage *stage);

/* Runs cycles, at most so many, while more than two are left before the target;
 * adds to sums and moves state, which is at zero current. Exact, as
 * bv_cycle_next is. Returns the number of cycles. */
long bv_cycle_bare_run(const bv_stage *stage, long most, bv_state *state,
                       bv_flow *sums);

#endif
