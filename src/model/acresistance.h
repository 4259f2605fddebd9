/* SPDX-License-Identifier: MIT */
/* Ac resistance of windings in the frequency domain: the ratio of ac to dc
 * resistance for a sine, and sums over harmonics. One-dimensional field, so
 * edges, gap fields and terminations are left out; a winding near a wide gap
 * is worse. For the currents of a flyback windingloss.h is quicker and knows
 * both windings.
 *
 * phi (Dowell's xi) is thickness over skin depth of a foil, or of the foil that
 * stands for a layer of round wire. */
#ifndef BV_MODEL_ACRESISTANCE_H
#define BV_MODEL_ACRESISTANCE_H

#include <stddef.h>

/* R_ac/R_dc of p layers, real p > 0, whose field is zero on one side: P. L.
 * Dowell, Proc. IEE 113(8), 1966. phi >= 0. */
double bv_ac_dowell(double phi, double layers);

/* phi of a layer of round wire: (pi/4)^(3/4) (d/delta) sqrt(d/pitch). */
double bv_ac_round_phi(double diameter, double pitch, double skin_depth);

/* G1, G2 of R. W. Erickson, D. Maksimovic, Fundamentals of Power Electronics,
 * 3rd ed. 2020, eq. (10.76); phi > 0. */
double bv_ac_g1(double phi);
double bv_ac_g2(double phi);

/* Loss of one layer over its dc loss, MMF on its far side m times, on its near
 * side (m - 1) times its own ampere-turns: phi ((2m² - 2m + 1) G1 - 4m(m - 1)
 * G2), eqs. (10.81), (10.82) there. */
double bv_ac_layer(double phi, double m);

/* phi of least loss of p foil layers for a sine: (15/(5p² - 1))^(1/4), W. G.
 * Hurley, E. Gath, J. G. Breslin, IEEE Trans. Power Electron. 15(2), 2000. */
double bv_ac_optimum_phi(double layers);

/* R_ac/R_dc of one straight round wire alone, radius over skin depth >= 0:
 * Re (z/2) I0(z)/I1(z), z = (1 + j) r/delta. */
double bv_ac_round_wire(double radius_over_skin_depth);

/* Round-wire form for p layers (J. A. Ferreira, IEEE Trans. Power Electron.
 * 9(1), 1994, orthogonality of skin and proximity effect): the wire alone plus
 * the proximity loss of a cylinder in the layers' mean field. */
double bv_ac_round(double diameter, double pitch, double skin_depth,
                   double layers);

/* R_ac/R_dc of a stranded wire: strands of a diameter, pitch of the whole wire
 * in a layer, layers of whole wires. Each wire counts as sqrt(strands) layers
 * of sqrt(strands) strands, perfectly transposed. strands 1 gives bv_ac_round.
 */
double bv_ac_stranded(double strand_diameter, double strands, double pitch,
                      double skin_depth, double layers);

/* How R_ac/R_dc depends on frequency, for bv_ac_harmonic_ratio. */
typedef double (*bv_ac_ratio)(double skin_depth, const void *context);

/* Loss over dc loss of the rms current: (I0² + sum FR(k) Ik²/2)/(I0² + sum
 * Ik²/2) of a current with mean I0 and count harmonic amplitudes (peak) I1 …;
 * skin_depth is that of the first harmonic. */
double bv_ac_harmonic_ratio(bv_ac_ratio ratio, const void *context,
                            double skin_depth, double mean,
                            const double *amplitudes, size_t count);

/* Complex Fourier coefficient, as its two parts. */
typedef struct bv_ac_phasor {
  double re, im;
} bv_ac_phasor;

/* Peak phasor of harmonic k >= 1 of a pulse repeated every period: zero up to
 * `start`, then a straight line from `first` to `last` in `duration`, then zero
 * again; times in s, time zero at the period's start. Primary: (0, t1, 0, Ip);
 * secondary: (t1, t2, Ip/n, 0). */
bv_ac_phasor bv_ac_ramp_harmonic(double start, double duration, double first,
                                 double last, double period, unsigned k);

#endif
