/* SPDX-License-Identifier: MIT */
#include "base/root.h"

#include <math.h>

bool bv_root_find(bv_function f, const void *context, double lo, double hi,
                  double tolerance, double *x) {
  return bv_root_between(f, context, lo, f(lo, context), hi, f(hi, context),
                         tolerance, x);
}

bool bv_root_between(bv_function f, const void *context, double lo, double flo,
                     double hi, double fhi, double tolerance, double *x) {
  double a = lo, b = hi, fa = flo, fb = fhi;
  if (!(fa * fb <= 0))
    return false;
  for (int i = 0; i < 98 && fabs(b - a) > tolerance && fb != 0; i++) {
    double c = b - fb * (b - a) / (fb - fa);
    double fc = f(c, context);
    if (isnan(fc))
      return false;
    if (fc * fb < 0) {
      a = b;
      fa = fb;
    } else {
      fa /= 2; /* the end that stays must not hold the secant back */
    }
    b = c;
    fb = fc;
    if (fabs(fb) == 0)
      break;
  }
  *x = fa == 0 ? a : b;
  return true;
}
