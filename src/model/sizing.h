/* SPDX-License-Identifier: MIT */
/* From a specification to a core, turns and wire: the design steps of R. W.
 * Erickson, D. Maksimovic, Fundamentals of Power Electronics, 3rd ed. 2020,
 * chapters 11 (inductors and flyback transformers by Kg) and 12 (transformers
 * by Kgfe), in SI units. Ku is the copper's share of the window. */
#ifndef BV_MODEL_SIZING_H
#define BV_MODEL_SIZING_H

/* Rms value of a pulse that goes straight from `first` to `last` during a share
 * `duty` of the period and is zero for the rest. */
double bv_rms_ramp(double first, double last, double duty);

/* Mean magnetising current, A, of a flyback in continuous conduction: ratio Io
 * /(1 - D), ratio = n2/n1. */
double bv_sizing_magnetizing_current(double ratio, double output_current,
                                     double duty);

/* Inductance, H, in which a voltage for a time makes a peak-to-peak ripple. */
double bv_sizing_inductance(double voltage, double time, double ripple);

/* Kg, m5, that an inductor needs: rho L² Imax² Itot²/(Bmax² Pcu Ku), Itot the
 * sum of the windings' rms currents referred to the first. */
double bv_sizing_kg(double resistivity, double inductance, double peak_current,
                    double total_rms, double flux_density, double copper_loss,
                    double fill);

/* Share of the window of a winding with turns n and rms current i:
 * n i/(n1 Itot), and the copper area, m2, of one of its turns. */
double bv_sizing_share(double turns, double rms, double first_turns,
                       double total_rms);
double bv_sizing_wire_area(double share, double fill, double window,
                           double turns);

/* Kgfe, m^(5 - 6/beta), that a transformer needs: rho lambda² Itot²
 * Kfe^(2/beta)/(4 Ku Ptot^((beta + 2)/beta)), lambda the volt-seconds of the
 * positive part of the primary's voltage and core loss Kfe B^beta W/m3. */
double bv_sizing_kgfe(double resistivity, double volt_seconds, double total_rms,
                      double loss_constant, double beta, double total_loss,
                      double fill);

/* A wound core for the next three. */
typedef struct bv_sizing_core {
  double area, length, window, mean_turn; /* m2, m, m2, m */
} bv_sizing_core;

/* Flux amplitude, T, of least copper plus core loss. */
double bv_sizing_flux(const bv_sizing_core *core, double resistivity,
                      double volt_seconds, double total_rms,
                      double loss_constant, double beta, double fill);

/* Turns whose flux amplitude is B: lambda/(2 B Ac). Solved for B it is the
 * amplitude of those turns. */
double bv_sizing_turns(double volt_seconds, double flux, double area);

/* Copper loss, W, when all windings share the window best: rho MLT n1²
 * Itot²/(WA Ku). */
double bv_sizing_copper_loss(const bv_sizing_core *core, double resistivity,
                             double first_turns, double total_rms, double fill);

#endif
