/* SPDX-License-Identifier: MIT */
/* Constants of nature and of the trade, SI units, each with its source. */
#ifndef BV_BASE_CONSTANTS_H
#define BV_BASE_CONSTANTS_H

#define BV_PI 3.14159265358979323846       /* 1 */
#define BV_LN2 0.693147180559945309417     /* 1, of 2 */
#define BV_MU0 1.25663706212e-6            /* H/m, CODATA 2018 */
#define BV_EPSILON0 8.8541878128e-12       /* F/m, CODATA 2018 */
#define BV_STEFAN_BOLTZMANN 5.670374419e-8 /* W/(m2 K4), CODATA 2018 */
#define BV_ZERO_CELSIUS 273.15             /* K, SI brochure */

/* IEC 60028: annealed copper at 20 degC, 58 MS/m and 0.00393 per kelvin. */
#define BV_COPPER_RESISTIVITY (1e-6 / 58) /* ohm m at 20 degC */
#define BV_COPPER_COEFFICIENT 0.00393     /* 1/K at 20 degC */

#define BV_COPPER_DENSITY 8960.0      /* kg/m3, handbook value */
#define BV_COPPER_HEAT_CAPACITY 385.0 /* J/(kg K), handbook value */

#endif
