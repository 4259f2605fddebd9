/* SPDX-License-Identifier: MIT */
/* Short names for files that hold rows of formulas: arguments are IN(f),
 * results OUT(f), the function COMPUTE(f), the row FORMULA(f). To be included
 * last. */
#ifndef BV_SCRIPT_FORMULA_ROWS_H
#define BV_SCRIPT_FORMULA_ROWS_H

#include <math.h>

#include "script/formula.h"

#define NEEDED ((double) NAN)
#define LIST(list)                                                             \
  { (list), sizeof(list) / sizeof *(list) }
#define FORMULA(function, text, from, with)                                    \
  {                                                                            \
    .name = #function, .meaning = (text), .source = (from), .example = (with), \
    .arguments = LIST(function##_in), .results = LIST(function##_out),         \
    .compute = (function)                                                      \
  }
#define IN(name) static const bv_field name##_in[]
#define OUT(name, unit, meaning)                                               \
  static const bv_field name##_out[] = {BV_OUT(BV_NUMBER, #name, unit, meaning)}
#define COMPUTE(name) static void name(const double *a, bv_answer *r)

#endif
