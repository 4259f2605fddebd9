/* SPDX-License-Identifier: MIT */
/* Parts of the loss of the core that one cycle alone and many at once share:
 * times in on-times, over which the flux loses as at the slope of a standard
 * one. */
#ifndef BV_MODEL_CYCLE_CORE_H
#define BV_MODEL_CYCLE_CORE_H

#include <math.h>

#include "base/constants.h"
#include "model/cycle.h"

/* asin(x) of 0 … 1 to 7e-5 (M. Abramowitz, I. A. Stegun, 4.4.45). */
static inline double bv_core_arc(double x) {
  double series =
      1.5707288 + x * (-0.2121144 + x * (0.0742610 - x * 0.0187293));
  return BV_PI / 2 - sqrt(1 - x) * series;
}

/* The square of the current at the start of step 5, of that left at turn-off.
 */
static inline double bv_core_released2(const bv_stage *s, double left2,
                                       double reflected) {
  return left2 - s->y * s->y * (reflected * reflected - s->vin * s->vin);
}

/* The ring of step 6 from a reflected voltage, to zero current: half of it at
 * the slope of its crest, or where it reaches zero volts the way back along the
 * supply, which may end in the on-time; crest: loss at that slope. */
static inline double bv_core_ring_time(const bv_stage *s, double reflected,
                                       double crest) {
  const bv_core_ring *r = &s->core_ring;
  double share = bv_less(1, s->vin / reflected);
  double more2 = bv_more(0, reflected * reflected - s->vin * s->vin);
  double along = r->back * sqrt(more2);
  double back = r->supply * (along + bv_core_arc(share) * r->slow);
  return crest * r->quarter + (reflected > s->vin ? back : crest * r->quarter);
}

/* Step 4 of a current: the voltage falls in a nearly straight line from the
 * supply through zero to the reflected voltage, >= 0; loss: at the slope of
 * step 5. */
static inline double bv_core_rise_time(const bv_stage *s, double current,
                                       double reflected, double loss) {
  const bv_core_ring *r = &s->core_ring;
  double both = r->supply * s->vin + loss * reflected;
  return r->rise * both / bv_more(current, s->vin * s->y);
}

/* Where step 5 ends before the current does, else zero: the current by the
 * peak, from that released along a slope > 0. */
static inline double bv_core_end(const bv_stage *s, double on_time,
                                 double released, double slope) {
  const bv_core_ring *r = &s->core_ring;
  double limit = bv_more(s->limit, s->period - on_time);
  double end = released - slope * (limit * r->per_on);
  return bv_less(bv_more(s->lower * r->per_peak, end), released);
}

/* Of the energy told, what is taken: step 5, which loses over the time off, has
 * less to fall from, to first order. */
static inline double bv_core_taken(const bv_stage *s, double whole,
                                   double times, double off, double current) {
  double energy = s->l * current * current;
  return whole * times * energy / (energy + whole * off);
}

#endif
