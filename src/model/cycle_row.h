/* SPDX-License-Identifier: MIT */
/* Cycles in a row of a charge, side by side.
 *
 * One cycle waits for the output that the cycle before has left, and a
 * processor that works on many numbers at once waits with it. But the square of
 * the output grows evenly: here that of a whole row of cycles is guessed from
 * the row before, the cycles are found at these outputs as those of cycle_lanes
 * are, each turned on by the current and the node that the one before it
 * leaves, and what they bring makes the outputs anew, until these stay. Every
 * cycle is found in full; its output is then off by at most a share of 5e-10,
 * the outputs after the row by much less. */
#ifndef BV_MODEL_CYCLE_ROW_H
#define BV_MODEL_CYCLE_ROW_H

#include "model/cycle.h"

/* What a row leaves to the next; begins with zeros. */
typedef struct bv_row {
  double gains[3]; /* V2, of the output's square in three cycles of a row */
  long in_full;    /* cycles to be run one by one before the next row */
} bv_row;

/* Runs rows, of at most so many cycles together, while each ends more than two
 * cycles below the target; adds to sums and moves state. Returns the number of
 * cycles: 0 where they are not of the usual kind or too unlike each other, are
 * ended by the off-time limit, or there is no node that rings. The next cycle
 * must then be run by bv_cycle_next. */
long bv_cycle_rows(const bv_stage *stage, long most, bv_row *row,
                   bv_state *state, bv_flow *sums);

#endif
