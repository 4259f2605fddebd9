/* SPDX-License-Identifier: MIT */
/* Reference for the charge models: the switched circuit integrated with
 * SUNDIALS (ARKODE, explicit Runge-Kutta with root finding; D. R. Reynolds et
 * al., ACM TOMS 49, 2023), from the differential equations of each switch
 * state. Nothing of src/model/ is used but the struct of the circuit. Clamp and
 * overlap are lumped at turn-off, as charge.h's models define them. */
#ifndef BV_TESTS_CIRCUIT_ODE_H
#define BV_TESTS_CIRCUIT_ODE_H

#include <stdbool.h>

#include "model/circuit.h"

typedef struct ode_charge {
  double charge_time, cycles; /* s; whole cycles before the target's */
  double timed_out_cycles, primary_current_max, recharge_current_max;
  double supply_energy, stored_energy, residual_energy;
  double loss_primary;   /* J, all primary resistance */
  double loss_secondary; /* J, windings, diodes, storage capacitor */
  double loss_clamp, loss_overlap, loss_turn_on, loss_recovery, loss_bleeder;
  double loss_core; /* J, iGSE of the whole flux, that after the stop too */
} ode_charge;

/* Integrates to the target with a relative tolerance; false where it takes more
 * than most cycles or the integrator fails. */
bool ode_charge_run(const bv_circuit *circuit, double tolerance, double most,
                    ode_charge *result);

/* The same in continuous conduction: the off-time ends at a lower current, A,
 * seen at the primary, and the next on-time starts there; no loss but those of
 * node and recovery comes with it. */
bool ode_charge_levels(const bv_circuit *circuit, double lower,
                       double tolerance, double most, ode_charge *result);

#endif
