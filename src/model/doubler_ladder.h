/* SPDX-License-Identifier: MIT */
/* The half-wave ladder of k doubler stages in steady state, lower fidelity: the
 * doubler of charge.h is its first stage. k stages of equal capacitors C at a
 * frequency f, loaded with a current I:
 *  drop   I/(f C) (2 k^3/3 + k^2/2 - k/6)
 *  ripple I/(f C) k (k + 1)/2, peak to peak
 * The drop as widely quoted for the multiplier of J. D. Cockcroft and E. T. S.
 * Walton (Proc. R. Soc. A 136, 1932); the ripple is the sum of the charges k q,
 * (k - 1) q … q that a cycle takes from the capacitors of the output column.
 * Valid in steady state with ideal diodes and capacitors that are recharged in
 * full each cycle; a charging ladder, whose capacitors also store, is not
 * described. Stray capacitance makes real ladders drop several times as much.
 */
#ifndef BV_MODEL_DOUBLER_LADDER_H
#define BV_MODEL_DOUBLER_LADDER_H

/* V; stages: whole, >= 1; current: A; frequency: Hz; capacitance: F, of each.
 * NAN where one of these is out of range. */
double bv_ladder_drop(double stages, double current, double frequency,
                      double capacitance);
double bv_ladder_ripple(double stages, double current, double frequency,
                        double capacitance);

/* Output voltage under load, V, of a ladder driven with a swing (peak to peak),
 * V; not below zero. */
double bv_ladder_output(double swing, double stages, double current,
                        double frequency, double capacitance);

/* Share of the no-load voltage that is left: it falls with the stages. */
double bv_ladder_efficiency(double swing, double stages, double current,
                            double frequency, double capacitance);

#endif
