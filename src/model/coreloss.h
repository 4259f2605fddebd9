/* SPDX-License-Identifier: MIT */
/* Core loss: Steinmetz for a sine, and the improved generalised Steinmetz
 * equation (iGSE: K. Venkatachalam, C. R. Sullivan, T. Abdallah, H. Tacca,
 * IEEE COMPEL 2002) for piecewise-linear flux. Loss densities in W/m3.
 * Premagnetisation, which raises the loss of a flyback's unipolar flux, and
 * relaxation during flat parts are left out. */
#ifndef BV_MODEL_CORELOSS_H
#define BV_MODEL_CORELOSS_H

#include <stddef.h>

/* A Steinmetz fit: loss density k f^alpha B^beta of a sine with amplitude B.
 * Valid where its source fitted it. */
typedef struct bv_steinmetz {
  double k; /* W/m3 at 1 Hz and 1 T */
  double alpha, beta;
} bv_steinmetz;

/* Sine of a frequency in Hz and amplitude (half the swing) in T. */
double bv_core_loss_sine(const bv_steinmetz *fit, double frequency,
                         double amplitude);

/* The integral of |cos x|^alpha over one period of 2 pi; alpha > -1. */
double bv_core_loss_cosine(double alpha);

/* ki of iGSE, k/((2 pi)^(alpha - 1) 2^(beta - alpha) bv_core_loss_cosine);
 * work it out once for a material. */
double bv_core_loss_ki(const bv_steinmetz *fit);

/* Energy density, J/m3, of one cycle that rises by swing T in `rise` s and
 * falls back in `fall` s: ki swing^beta (rise^(1-alpha) + fall^(1-alpha)).
 * Times in which the flux rests add nothing. */
double bv_core_loss_cycle(double ki, const bv_steinmetz *fit, double swing,
                          double rise, double fall);

/* The mean of bv_core_loss_cycle over the cycles of a charge with constant peak
 * current, from a share `start` (0 … below 1) of the target voltage to the
 * target, where the fall takes `fall_end` s; the fall time goes as 1/voltage
 * and the number of cycles as its square. */
double bv_core_loss_charge(double ki, const bv_steinmetz *fit, double swing,
                           double rise, double fall_end, double start);

/* Triangle of a frequency, peak-to-peak swing in T and rising share 0 … 1 of
 * the period. */
double bv_core_loss_triangle(const bv_steinmetz *fit, double frequency,
                             double swing, double rise);

/* Energy density, J/m3, of one period of a flux that goes in straight lines
 * through count >= 2 corners (times in s, rising; flux in T; the last corner
 * has the flux of the first). One swing for the whole: minor loops are not
 * taken apart. */
double bv_core_loss_linear(const bv_steinmetz *fit, const double *times,
                           const double *flux, size_t count);

/* Loss at a temperature over loss at the reference: 1 + l dT + q dT², at least
 * 0.1 (temperatures in degC, l in 1/K, q in 1/K2). */
double bv_core_loss_temperature(double linear, double square, double reference,
                                double temperature);

/* Loss density of a sine from a measured complex permeability mu' - j mu'':
 * pi f B² mu''/(mu0 |mu|²). */
double bv_core_loss_permeability(double frequency, double amplitude,
                                 double real, double imaginary);

#endif
