/* SPDX-License-Identifier: MIT */
/* Roots of a function of one variable inside a bracket. */
#ifndef BV_BASE_ROOT_H
#define BV_BASE_ROOT_H

#include <stdbool.h>

typedef double (*bv_function)(double x, const void *context);

/* Finds x in [lo, hi] with f(x) = 0 to a width of tolerance (absolute, > 0),
 * by the bracketed secant of Illinois type (M. Dowell, P. Jarratt, BIT 11,
 * 1971). f(lo) and f(hi) must differ in sign, or one of them be zero; false
 * where they don't or a value is NaN. At most 100 evaluations. */
bool bv_root_find(bv_function f, const void *context, double lo, double hi,
                  double tolerance, double *x);

/* The same where f(lo) and f(hi) are known. */
bool bv_root_between(bv_function f, const void *context, double lo, double flo,
                     double hi, double fhi, double tolerance, double *x);

#endif
