/* SPDX-License-Identifier: MIT */
/* From the sums over the cycles to the results of a charge: what envelope and
 * simulator share. */
#ifndef BV_MODEL_CHARGE_RESULT_H
#define BV_MODEL_CHARGE_RESULT_H

#include "model/charge.h"
#include "model/cycle.h"

/* Every result NAN but reason and impossibility. */
void bv_charge_refuse(bv_charge *charge, const bv_circuit *circuit,
                      bv_reason reason);

/* Energies, losses and efficiencies of a charge from its sums. */
void bv_charge_settle(const bv_circuit *circuit, const bv_flow *sums,
                      bv_charge *charge);

/* Why a cycle does not raise the output. */
bv_reason bv_charge_stall(const bv_cycle *cycle);

/* The results at 5 % of the target, from the cycle there. */
void bv_charge_set_start(bv_charge *charge, const bv_cycle *cycle);

/* The results of the last cycle, and the stresses at the target. */
void bv_charge_set_end(const bv_circuit *circuit, bv_charge *charge,
                       const bv_cycle *cycle);

/* From the charge of the doubler that stands for a ladder to the ladder's own:
 * what its capacitors keep is left over and not stored. */
void bv_charge_of_ladder(const bv_circuit *ladder, const bv_circuit *doubler,
                         bv_charge *charge);

/* Power into the storage capacitor in a cycle at an output voltage, W. */
double bv_charge_power(const bv_cycle *cycle, double output);

/* The envelope with another number of quadrature points a segment. */
void bv_charge_envelope_by(const bv_circuit *circuit, size_t points,
                           bv_charge *charge);

/* Changes the constants of a circuit for the cycles about an output voltage. */
typedef bv_reason bv_lead(const void *context, double output, bv_stage *stage);

/* The envelope of a charge whose stage is led along the output voltage, called
 * with the voltages of its quadrature in any order. */
void bv_charge_envelope_led(const bv_circuit *circuit, bv_lead *lead,
                            const void *context, bv_charge *charge);

#endif
