/* SPDX-License-Identifier: MIT */
/* Heat: the wound part in still air, radiation, one shot without cooling, and a
 * part whose loss grows with its temperature. Temperatures in degC. */
#ifndef BV_MODEL_THERMAL_H
#define BV_MODEL_THERMAL_H

/* Rise, K, of a wound part in still air that gives off W from its surface in
 * m2, mostly by convection and radiation together: 450 (W/cm2)^0.826 (C. W. T.
 * McLyman, Transformer and Inductor Design Handbook, ch. 6; from memory). For
 * rises of 10 to 100 K at about 25 degC ambient; +-30 %. */
double bv_thermal_rise(double power, double surface);

/* Its inverse: W that make a rise in K. */
double bv_thermal_power(double rise, double surface);

/* Cooling surface, m2, of a wound part from its area product in m4: 40 (area
 * product in cm4)^0.5 cm2, between McLyman's 33.8 for pot cores and 41.3 for
 * laminations (ch. 5; from memory). */
double bv_thermal_surface(double area_product);

/* Net heat flux, W/m2, that a grey surface radiates to its surroundings
 * (Stefan and Boltzmann). */
double bv_thermal_radiation(double emissivity, double surface_temperature,
                            double surroundings);

/* Rise, K, of a mass in kg and specific heat in J/(kg K) by an energy in J that
 * stays in it. */
double bv_thermal_adiabatic(double energy, double mass, double specific_heat);

/* Of power ferrite, J/(kg K) and kg/m3 (handbook values; from memory). */
#define BV_FERRITE_HEAT_CAPACITY 750.0
#define BV_FERRITE_DENSITY 4800.0

/* Beyond this, degC, near where power ferrite stops to be one, its loss curve
 * stays where it is. */
#define BV_FERRITE_HOTTEST 200.0

/* Temperatures of a design that runs away end here. */
#define BV_THERMAL_MOST 1000.0 /* degC */

/* A wound part whose copper loss grows with temperature. */
typedef struct bv_thermal_load {
  double copper;        /* W at `reference` */
  double core;          /* W at `reference` */
  double reference;     /* degC */
  double core_curve[3]; /* material's reference degC, linear, square */
  double surface;       /* m2 */
  double ambient;       /* degC */
} bv_thermal_load;

/* Temperature, degC, where the losses at it make its rise over the ambient;
 * BV_THERMAL_MOST where there is none below. Smooth in every member. */
double bv_thermal_balance(const bv_thermal_load *load);

/* By what share of a power its rise at the end of it is that of the same power
 * without end: for `length` s, again every `period` s (>= length; HUGE_VAL:
 * once), in a package on a board that warms through in about `constant` s.
 *
 * One pulse r(t) = sqrt(tanh(t/constant)): heat that spreads into copper and
 * board raises the junction with the root of time (H. S. Carslaw, J. C. Jaeger,
 * Conduction of Heat in Solids, ch. 2), as the single-pulse curves of data
 * sheets do from a hundredth of a second on; a single time constant would leave
 * a tenth of that for 0.3 s. Many: the mean for all but the last two, D + (1 -
 * D) r(t + T) + r(t) - r(T), the usual superposition. Both from memory; a bar
 * that conducts, once within 2 %, again and again within 5 % (a test). */
double bv_thermal_pulse(double length, double period, double constant);

/* Of a power semiconductor's package on a board, s (common practice: its curve
 * ends after some ten seconds to minutes). */
#define BV_PACKAGE_TIME 30.0

/* Junction temperature of a part with thermal resistance in K/W to the ambient
 * and a loss in W at 25 degC that grows by `coefficient` per K:
 * the closed solution, at most BV_THERMAL_MOST. */
double bv_thermal_junction(double power_at_25, double coefficient,
                           double resistance, double ambient);

#endif
