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

/* The ring of step 6 from a reflected voltage: half of it at the slope of its
 * crest, or where it reaches zero volts the way back along the supply; crest:
 * loss at that slope. */
static inline double bv_core_ring_time(const bv_stage *s, double reflected,
                                       double crest) {
  const bv_core_ring *r = &s->core_ring;
  double quick = bv_core_arc(bv_less(1, s->vin / reflected)) * r->quick;
  double alone = crest * (2 * r->quarter + r->delay);
  double caught = crest * r->quarter + r->supply * (r->back - quick);
  return reflected > s->vin ? caught : alone;
}

/* Step 4: the voltage falls in a nearly straight line from the supply through
 * zero to the reflected voltage, >= 0; loss: at the slope of step 5. */
static inline double bv_core_rise_time(const bv_stage *s, double time,
                                       double reflected, double loss) {
  double both = s->core_ring.supply * s->vin + loss * reflected;
  double mean = both / (s->vin + reflected);
  return time * s->core_ring.per_on * mean / (1 + s->alpha);
}

#endif
