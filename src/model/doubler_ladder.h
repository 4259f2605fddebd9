/* SPDX-License-Identifier: MIT */
/* The half-wave ladder of k doubler stages, lower fidelity: the doubler of
 * charge.h is its first stage. In steady state, k stages of equal capacitors C
 * at a frequency f, loaded with a current I:
 *  drop   I/(f C) (2 k^3/3 + k^2/2 - k/6)
 *  ripple I/(f C) k (k + 1)/2, peak to peak
 * The drop as widely quoted for the multiplier of J. D. Cockcroft and E. T. S.
 * Walton (Proc. R. Soc. A 136, 1932); the ripple is the sum of the charges k q,
 * (k - 1) q … q that a cycle takes from the capacitors of the output column.
 * Valid with ideal diodes and capacitors that are recharged in full each cycle.
 * The drop has all diodes level at the crest of a smooth source and
 * is an upper figure: a transfer of charges gives k^2 I/(f C) where the source
 * steps. Stray capacitance makes real ladders drop several times as much.
 */
#ifndef BV_MODEL_DOUBLER_LADDER_H
#define BV_MODEL_DOUBLER_LADDER_H

#include "model/circuit.h"

/* The drop by current, frequency and capacitance, 1: 2 k^3/3 + k^2/2 - k/6. */
double bv_ladder_drop_factor(double stages);

/* V; stages: whole, >= 1; current: A; frequency: Hz; capacitance: F, of each.
 * NAN where one of these is out of range. */
double bv_ladder_drop(double stages, double current, double frequency,
                      double capacitance);
double bv_ladder_ripple(double stages, double current, double frequency,
                        double capacitance);

/* Output voltage under load, at its crest, V, of a ladder driven with a swing
 * (peak to peak), V; not below zero. */
double bv_ladder_output(double swing, double stages, double current,
                        double frequency, double capacitance);

/* Energy into the load over energy from a source that gives its charge at its
 * extremes, as a stepping one does: the mean output (half the ripple below the
 * crest) over the no-load voltage, since each of the 2 k diodes passes the same
 * charge a cycle. It falls with the stages. A lower figure: a smooth source and
 * ideal diodes would lose nothing. */
double bv_ladder_efficiency(double swing, double stages, double current,
                            double frequency, double capacitance);

/* Stages of the greatest output, sqrt(swing f C/(2 I)), not rounded, by the
 * cubic term of the drop (E. Kuffel, W. S. Zaengl, J. Kuffel, High Voltage
 * Engineering Fundamentals, 2nd ed. 2000, ch. 2, from memory). Infinite without
 * current, NAN out of range. */
double bv_ladder_best_stages(double swing, double current, double frequency,
                             double capacitance);

/* As the rectifier of a charge: the doubler that takes the same from the
 * winding. A cycle that gives the output the charge q takes k q through the
 * winding in either stroke and q through each of the 2 k diodes, and the swing
 * of the winding is V/k and the drop. So the storage is k^2 C at V/k, bleeder
 * and its resistance 1/k^2, and the series capacitor C k^2/(2 k^3/3 + k^2/2 -
 * k/6), which gives the published drop. The diodes are taken to conduct one
 * after the other, each the whole current of the winding.
 *
 * Every loop of the ladder closes through the winding, so that the inductance's
 * current and the ring with the leakage move its charge and not a step of
 * voltage: the drop costs swing, and energy only through resistance and diodes.
 * Beside the storage all capacitors but the first, 2 k - 1 of V/k, are charged.
 * Left out: stray capacitance along the columns. Another rectifier is given
 * back as it is; one stage is the doubler. Own derivation. */
bv_circuit bv_ladder_as_doubler(const bv_circuit *circuit);

#endif
