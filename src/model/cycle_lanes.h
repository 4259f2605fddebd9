/* SPDX-License-Identifier: MIT */
/* The cycle at a constant output that repeats itself, for a single rectifier or
 * split secondary at many outputs at once: the steps of cycle.h, each a loop
 * without branches over all outputs, of which compilers make vectors. What
 * holds for most cycles is taken for granted, and a slack tells where it did
 * not hold: such cycles are left to be found one by one. */
#ifndef BV_MODEL_CYCLE_LANES_H
#define BV_MODEL_CYCLE_LANES_H

#include <math.h>

#include "model/cycle.h"

/* Whether a stage's cycles are found so: no series capacitor, lower level or
 * highest frequency, and a node, if any, that rings. */
bool bv_lanes_fit(const bv_stage *stage);

typedef double bv_lane[BV_CYCLE_EACH_MOST];

typedef struct bv_lanes {
  size_t fours;                   /* of outputs, so that vectors are whole */
  bv_lane output, slack;          /* V; > 0 while all that was assumed holds */
  bv_lane current, node;          /* as in bv_state */
  bv_lane reflected, settled;     /* V, at turn-off and after step 5 */
  bv_lane on, rise, fall, dead;   /* s */
  bv_lane time;                   /* s, of all steps */
  bv_lane low;                    /* A, at turn-on */
  bv_lane charge, square;         /* A s, A2 s, primary */
  bv_lane out_charge, out_square; /* into the storage capacitor */
  bv_lane clamp, overlap, turn_on, core, bleeder; /* J */
  bv_lane timed_out;           /* 1: the off-time limit ended step 5, 0 */
  bv_lane recovered, recovery; /* A s, J, of the diodes */
} bv_lanes;

static inline void bv_lanes_demand(bv_lanes *restrict x, size_t i,
                                   double margin) {
  x->slack[i] = bv_less(margin, x->slack[i]);
}

/* Finds what bv_cycle_at gives but for rounding, at 1 … BV_CYCLE_EACH_MOST
 * outputs of a stage that fits. */
void bv_lanes_find(const bv_stage *stage, size_t count, const double *outputs,
                   bv_lanes *restrict x);

/* Whether all that was assumed did hold; not so for cycles that are refused. */
static inline bool bv_lanes_hold(const bv_lanes *x, size_t i) {
  return x->slack[i] > 0 && isfinite(x->on[i] + x->fall[i] + x->square[i] +
                                     x->turn_on[i] + x->core[i]);
}

/* Lays one of them out. */
void bv_lanes_cycle(const bv_stage *stage, const bv_lanes *x, size_t i,
                    bv_cycle *cycle);

/* sums += weight * flow for every one of a weight > 0; there are as many
 * weights as fours take. */
void bv_lanes_sum(const bv_lanes *restrict x, const double *weights,
                  bv_flow *sums);

/* Step 3, whose energies go to clamp and overlap, and step 6, for
 * cycle_lanes.c.
 */
void bv_lanes_turn_off(const bv_stage *stage, bv_lanes *restrict x);
void bv_lanes_rest(const bv_stage *stage, bv_lanes *restrict x);

#endif
