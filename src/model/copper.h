/* SPDX-License-Identifier: MIT */
/* Copper: resistivity, resistance and skin depth. Linear temperature law of
 * IEC 60028 (58 MS/m and 0.00393 per kelvin at 20 degC); good from about -50
 * to 200 degC. */
#ifndef BV_MODEL_COPPER_H
#define BV_MODEL_COPPER_H

/* Resistivity, ohm m, at a temperature in degC. */
double bv_copper_resistivity(double temperature);

/* Resistance, ohm, of a conductor of length m and cross-section m2. */
double bv_copper_resistance(double length, double area, double temperature);

/* Skin depth sqrt(rho/(pi f mu0)), m, at a frequency in Hz > 0. */
double bv_copper_skin_depth(double frequency, double temperature);

#endif
