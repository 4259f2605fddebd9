/* SPDX-License-Identifier: MIT */
#include "model/acresistance.h"

#include <complex.h>
#include <math.h>

#include "base/constants.h"

/* Beyond this phi the hyperbolic functions outweigh the circular ones by more
 * than a double resolves. */
static const double phi_large = 40;

double bv_ac_g1(double phi) {
  if (phi > phi_large)
    return 1;
  double sh = sinh(phi), s = sin(phi);
  return (sinh(2 * phi) + sin(2 * phi)) / (2 * (sh * sh + s * s));
}

double bv_ac_g2(double phi) {
  if (phi > phi_large)
    return 0;
  double sh = sinh(phi), s = sin(phi);
  return (sh * cos(phi) + cosh(phi) * s) / (2 * (sh * sh + s * s));
}

/* (sinh - sin)/(cosh + cos). */
static double proximity(double phi) {
  if (phi > phi_large)
    return 1;
  return (sinh(phi) - sin(phi)) / (cosh(phi) + cos(phi));
}

double bv_ac_dowell(double phi, double layers) {
  if (!(phi > 0))
    return 1;
  double pairs = 2.0 / 3 * (layers * layers - 1);
  return phi * (bv_ac_g1(phi) + pairs * proximity(phi));
}

double bv_ac_round_phi(double diameter, double pitch, double skin_depth) {
  return pow(BV_PI / 4, 0.75) * diameter / skin_depth * sqrt(diameter / pitch);
}

double bv_ac_layer(double phi, double m) {
  return phi * ((2 * m * m - 2 * m + 1) * bv_ac_g1(phi) -
                4 * m * (m - 1) * bv_ac_g2(phi));
}

double bv_ac_optimum_phi(double layers) {
  return pow(15 / (5 * layers * layers - 1), 0.25);
}

/* re + j im: CMPLX, which not every C11 compiler has. */
static double complex rectangular(double re, double im) {
  union {
    double parts[2];
    double complex value;
  } number = {{re, im}};
  return number.value;
}

/* I1(z)/I0(z) for z = (1 + j) x: its continued fraction from the far end (M.
 * Abramowitz, I. Stegun, Handbook of Mathematical Functions, 9.1.73), and for
 * large x the asymptotic series (9.7.1). */
static double complex bessel_ratio(double x) {
  double complex z = rectangular(x, x);
  if (x > 50)
    return 1 - (0.5 + (0.125 + (0.125 + 25 / (128 * z)) / z) / z) / z;
  double complex tail = 0;
  for (int n = (int) (2 * x) + 20; n >= 1; n--)
    tail = z / (2 * n + z * tail);
  return tail;
}

double bv_ac_round_wire(double x) {
  if (!(x > 0))
    return 1;
  return creal(rectangular(x, x) / (2 * bessel_ratio(x)));
}

double bv_ac_stranded(double strand_diameter, double strands, double pitch,
                      double skin_depth, double layers) {
  double x = strand_diameter / (2 * skin_depth);
  if (!(x > 0))
    return 1;
  double width = BV_PI * strand_diameter / pitch;
  double field = (4 * layers * layers * strands - 1) / 12;
  return bv_ac_round_wire(x) + width * width * strands * field *
                                   creal(rectangular(x, x) * bessel_ratio(x));
}

double bv_ac_round(double diameter, double pitch, double skin_depth,
                   double layers) {
  return bv_ac_stranded(diameter, 1, pitch, skin_depth, layers);
}

double bv_ac_harmonic_ratio(bv_ac_ratio ratio, const void *context,
                            double skin_depth, double mean,
                            const double *amplitudes, size_t count) {
  double loss = mean * mean, direct = loss;
  for (size_t k = 1; k <= count; k++) {
    double square = amplitudes[k - 1] * amplitudes[k - 1] / 2;
    loss += square * ratio(skin_depth / sqrt((double) k), context);
    direct += square;
  }
  return loss / direct;
}

bv_ac_phasor bv_ac_ramp_harmonic(double start, double duration, double first,
                                 double last, double period, unsigned k) {
  double w = 2 * BV_PI * k / period, slope = (last - first) / duration;
  double complex turn = cexp(rectangular(0, -w * duration)),
                 jw = rectangular(0, w);
  double complex integral =
      (first - last * turn) / jw + slope * (1 - turn) / (jw * jw);
  integral *= 2 / period * cexp(rectangular(0, -w * start));
  return (bv_ac_phasor){creal(integral), cimag(integral)};
}
