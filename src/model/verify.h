/* SPDX-License-Identifier: MIT */
/* A design held against the cycle-by-cycle simulator: the last check of every
 * row of a front.
 *
 * The design's charge time is the envelope's, whose error is about one part in
 * the number of cycles. A difference of more than 1 % is told with the most
 * likely cause. Both share the physics of cycle.h: agreement shows that the
 * cycles may be taken as a flow, nothing about the part on the bench. */
#ifndef BV_MODEL_VERIFY_H
#define BV_MODEL_VERIFY_H

#include "model/design.h"

typedef struct bv_verification {
  double charge_time_cycles;       /* s, NAN where it was not simulated */
  double charge_time_difference;   /* 1, cycles over envelope less 1 */
  char verification[BV_TEXT_SIZE]; /* "agrees", or why not */
} bv_verification;

extern const bv_fields bv_verification_fields;

/* Simulates the design's circuit at the nominal supply, alike cycles at once
 * within 1e-6 of the time. A design whose reason is not BV_REASON_OK, one with
 * a ladder of several stages, which the envelope alone describes, or one that
 * would take more than some seconds is not simulated, and the text says so. */
void bv_design_verify(const bv_design *design, bv_verification *verification);

#endif
