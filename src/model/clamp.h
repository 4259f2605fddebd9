/* SPDX-License-Identifier: MIT */
/* The clamp that takes the leakage energy at turn-off: it holds the primary at
 * its level above the supply until the leakage current is gone; meanwhile the
 * reflected voltage helps it along, so it takes more than the leakage held. */
#ifndef BV_MODEL_CLAMP_H
#define BV_MODEL_CLAMP_H

/* Energy, J, the clamp takes a cycle from a leakage in H at a peak current in
 * A: L I² Vcl/(2 (Vcl - Vr)), levels in V above the supply; INFINITY where the
 * clamp does not exceed the reflected voltage. */
double bv_clamp_energy(double leakage, double current, double clamp,
                       double reflected);

/* Time, s, for the leakage current to fall to zero: L I/(Vcl - Vr). */
double bv_clamp_time(double leakage, double current, double clamp,
                     double reflected);

#endif
