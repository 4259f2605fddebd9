/* SPDX-License-Identifier: MIT */
#include "model/cycle_lanes.h"

bv_reason bv_cycle_each(const bv_stage *s, size_t count, const double *outputs,
                        double *off, bv_cycle *cycles, size_t *done) {
  bv_lanes x;
  bool fit = bv_lanes_fit(s);
  if (fit)
    bv_lanes_find(s, count, outputs, &x);
  for (*done = 0; *done < count; ++*done) {
    double unknown = 0;
    bv_reason reason = BV_REASON_OK;
    if (fit && bv_lanes_hold(&x, *done))
      bv_lanes_cycle(s, &x, *done, &cycles[*done]);
    else
      reason = bv_cycle_near(s, outputs[*done], off ? off : &unknown,
                             &cycles[*done]);
    if (reason != BV_REASON_OK)
      return reason;
  }
  return BV_REASON_OK;
}
