/* SPDX-License-Identifier: MIT */
/* Safety of the stored charge: bleeder, time to a safe voltage, and the limits
 * of the standards for what may be touched. A licensed practitioner and local
 * code decide; these functions only quote. */
#ifndef BV_MODEL_SAFETY_H
#define BV_MODEL_SAFETY_H

#include <stdbool.h>

/* Limits, each with its source. */
#define BV_SAFE_DC 60.0           /* V, IEC 60065 (seen in a manual) */
#define BV_SAFE_PEAK 35.0         /* V, a.c. peak, same */
#define BV_TOUCH_CHARGE 45e-6     /* C, 450 V to 15 kV, IEC 60335-1 8.1.4 */
#define BV_TOUCH_ENERGY 0.35      /* J, above 15 kV, same */
#define BV_TOUCH_CAPACITANCE 1e-7 /* F, 42.4 to 450 V peak, same */
#define BV_CAPACITOR_SAFE 75.0    /* V, IEC 60831-1, 60871-1 (memory) */

/* Energy, J, of a capacitance in F at a voltage in V. */
double bv_stored_energy(double capacitance, double voltage);

/* Largest bleeder, ohm, that brings a capacitance from a voltage to a lower,
 * safe one within a time in s; INFINITY where it is safe already. */
double bv_bleeder_resistance(double capacitance, double voltage, double safe,
                             double time);

/* Time, s, from a voltage to a lower, safe one through a bleeder in ohm; 0
 * where it is safe already. */
double bv_bleeder_time(double capacitance, double resistance, double voltage,
                       double safe);

/* Voltage, V, left after a time in s through a bleeder. */
double bv_bleeder_voltage(double capacitance, double resistance, double voltage,
                          double time);

/* Time, s, within which a power capacitor must fall to BV_CAPACITOR_SAFE: 180
 * up to 1 kV (IEC 60831-1), 600 above (IEC 60871-1); from memory. */
double bv_capacitor_discharge_time(double voltage);

/* Largest capacitance, F, that may be touched at a voltage in V by IEC 60335-1
 * 8.1.4; INFINITY up to 42.4 V. */
double bv_touch_capacitance(double voltage);

/* Whether a charged capacitance may be touched by IEC 60335-1 8.1.4. */
bool bv_touch_allowed(double capacitance, double voltage);

/* "safe" up to 60 V, where energy can still burn; below 400 V "shock" from 1 J
 * and "hazardous" from 100 J; from 400 V "shock" from 0.25 J, "hazardous" from
 * 10 J, "possibly lethal" from 50 J; else "startle". After the classes of
 * DOE-HDBK-1092 and NFPA 70E article 360, from memory and with low confidence:
 * a word for a page, not a judgement. Static text. */
const char *bv_energy_class(double energy, double voltage);

#endif
