/* SPDX-License-Identifier: MIT */
#include "model/verify.h"

#include <math.h>

static const double agreed_difference = 0.01;
static const double cycles_tolerance = 1e-6;

#define NUMBER(name, unit, meaning)                                            \
  BV_RESULT_FIELD(bv_verification, name, unit, meaning)

static const bv_field list[] = {
    NUMBER(charge_time_cycles, "s",
           "time to the target at the nominal supply, cycle by cycle to 1e-6"),
    NUMBER(charge_time_difference, "",
           "charge time cycle by cycle over that of the envelope, less 1"),
    {"verification", "",
     "agrees: the two charge times are within 1 %; else why not", BV_TEXT,
     offsetof(bv_verification, verification), 0, 0, (double) NAN, NULL}};

const bv_fields bv_verification_fields = {list, sizeof list / sizeof *list};

/* What most likely parts the envelope from the cycles. */
static const char *cause(const bv_design *design) {
  if (design->cycles < 500)
    return "differs: few cycles";
  if (design->circuit.rectifier != BV_SINGLE)
    return "differs: doubler, lower fidelity";
  if (design->timed_out_cycles > 0.01 * design->cycles)
    return "differs: long start at the off-time limit";
  return "differs: losses change within few cycles";
}

static const char *judge(const bv_design *design, const bv_charge *charge,
                         double difference) {
  if (charge->reason == BV_REASON_TOO_MANY_CYCLES)
    return "not simulated: too many cycles";
  if (charge->reason != BV_REASON_OK)
    return bv_reason_words[charge->reason];
  return fabs(difference) <= agreed_difference ? "agrees" : cause(design);
}

void bv_design_verify(const bv_design *design, bv_verification *verification) {
  bv_field_defaults(bv_verification_fields, verification);
  if (design->reason != BV_REASON_OK) {
    bv_field_copy_text(verification->verification,
                       bv_reason_words[design->reason]);
    return;
  }
  if (design->circuit.rectifier == BV_LADDER && design->circuit.stages > 1) {
    bv_field_copy_text(verification->verification,
                       "not simulated: ladder, lower fidelity");
    return;
  }
  if (design->mixed) {
    bv_field_copy_text(verification->verification,
                       "not simulated: of several corners");
    return;
  }
  bv_charge charge;
  bv_charge_cycles_skipping(&design->circuit, cycles_tolerance, &charge);
  verification->charge_time_cycles = charge.charge_time;
  verification->charge_time_difference =
      charge.charge_time / design->charge_time - 1;
  bv_field_copy_text(
      verification->verification,
      judge(design, &charge, verification->charge_time_difference));
}
