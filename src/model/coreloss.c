/* SPDX-License-Identifier: MIT */
#include "model/coreloss.h"

#include <math.h>

#include "base/constants.h"

double bv_core_loss_sine(const bv_steinmetz *fit, double frequency,
                         double amplitude) {
  return fit->k * pow(frequency, fit->alpha) * pow(amplitude, fit->beta);
}

/* 2 sqrt(pi) G((a+1)/2)/G(a/2+1), whose ratio of gamma functions grows by (a+1)
 * over (a+2) where a does by 2, and for a large a goes as a series in z = a/2 +
 * 1/4 (NIST Digital Library of Mathematical Functions, 5.11.14); to 5e-12. */
double bv_core_loss_cosine(double alpha) {
  double over = 1, under = 1, z = alpha / 2 + 8.25, q = 1 / (z * z);
  for (int k = 2; k <= 16; k += 2) {
    over *= alpha + k;
    under *= alpha + k - 1;
  }
  double series =
      1 - q * (1.0 / 64 - q * (21.0 / 8192 - q * (671.0 / 524288 -
                                                  q * 180323.0 / 134217728)));
  return 2 * sqrt(BV_PI / z) * series * over / under;
}

double bv_core_loss_ki(const bv_steinmetz *fit) {
  return fit->k /
         (pow(2 * BV_PI, fit->alpha - 1) * pow(2, fit->beta - fit->alpha) *
          bv_core_loss_cosine(fit->alpha));
}

double bv_core_loss_cycle(double ki, const bv_steinmetz *fit, double swing,
                          double rise, double fall) {
  double power = 1 - fit->alpha;
  return ki * pow(swing, fit->beta) * (pow(rise, power) + pow(fall, power));
}

/* Mean of (fall_end/v)^(1 - alpha) with weight 2 v over v = start … 1. */
double bv_core_loss_charge(double ki, const bv_steinmetz *fit, double swing,
                           double rise, double fall_end, double start) {
  double power = 1 - fit->alpha, order = 1 + fit->alpha;
  double mean = 2 / order * (1 - pow(start, order)) / (1 - start * start);
  return ki * pow(swing, fit->beta) *
         (pow(rise, power) + mean * pow(fall_end, power));
}

double bv_core_loss_triangle(const bv_steinmetz *fit, double frequency,
                             double swing, double rise) {
  double period = 1 / frequency;
  return frequency * bv_core_loss_cycle(bv_core_loss_ki(fit), fit, swing,
                                        rise * period, (1 - rise) * period);
}

static double peak_to_peak(const double *flux, size_t count) {
  double low = flux[0], high = flux[0];
  for (size_t i = 1; i < count; i++) {
    low = fmin(low, flux[i]);
    high = fmax(high, flux[i]);
  }
  return high - low;
}

double bv_core_loss_linear(const bv_steinmetz *fit, const double *times,
                           const double *flux, size_t count) {
  double sum = 0;
  for (size_t i = 1; i < count; i++) {
    double step = fabs(flux[i] - flux[i - 1]), time = times[i] - times[i - 1];
    if (step > 0)
      sum += pow(step / time, fit->alpha) * time;
  }
  return bv_core_loss_ki(fit) *
         pow(peak_to_peak(flux, count), fit->beta - fit->alpha) * sum;
}

double bv_core_loss_temperature(double linear, double square, double reference,
                                double temperature) {
  double rise = temperature - reference;
  return fmax(1 + linear * rise + square * rise * rise, 0.1);
}

double bv_core_loss_permeability(double frequency, double amplitude,
                                 double real, double imaginary) {
  return BV_PI * frequency * amplitude * amplitude * imaginary /
         (BV_MU0 * (real * real + imaginary * imaginary));
}
