/* SPDX-License-Identifier: MIT */
/* Many alike cycles at once, with an error that is kept.
 *
 * A cycle that takes the square w of the output from w(k) to w(k+1) tells the
 * slope dw/dk, and its amounts their slopes, in its middle: to the square of
 * the cycles' number. So the cycles over a stretch of w are the integral of dw
 * over the slope, and every amount is the integral of its share a cycle over
 * these. A stretch takes eight cycles, each after two that lead to it: at the
 * nodes of Kronrod's rule, of which the rule of Gauss inside it tells the
 * error, and at its end, from which the cut to whole cycles goes back.
 * Stretches grow and shrink with that error. Source: our own derivation. */
#ifndef BV_MODEL_CYCLE_SKIP_H
#define BV_MODEL_CYCLE_SKIP_H

#include "model/cycle.h"

typedef struct bv_skip {
  double tolerance; /* relative, of each amount of bv_flow over a stretch */
  double stretch;   /* share by which w grows over the next; 0 at first */
  long in_full;     /* cycles to be run in full before it */
} bv_skip;

/* Skips a stretch that ends two cycles or more below an output, V; adds to sums
 * and moves state. Returns the number of cycles: 0 where they are too few, not
 * alike enough, ended by the off-time limit, or a doubler's, whose series
 * capacitor remembers more than a cycle. The next cycle must then be run in
 * full. */
long bv_cycle_skip(const bv_stage *stage, double until, bv_skip *skip,
                   bv_state *state, bv_flow *sums);

#endif
