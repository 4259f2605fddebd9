/* SPDX-License-Identifier: MIT */
/* Waveforms inside a cycle, by running each of its steps again up to points in
 * between. */
#ifndef BV_MODEL_CYCLE_TRACE_H
#define BV_MODEL_CYCLE_TRACE_H

#include "model/charge.h"
#include "model/cycle.h"

/* Gives the trace its samples of a cycle that started at a time from a state;
 * nothing where the time isn't in the trace's span. */
void bv_cycle_trace(const bv_stage *stage, const bv_state *start,
                    const bv_cycle *cycle, double time, const bv_trace *trace);

#endif
