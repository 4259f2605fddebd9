/* SPDX-License-Identifier: MIT */
/* Numbers as people read them: significant digits and a unit with an SI prefix
 * ("47.0 uF", "1.20 mm"). Files keep the full SI number; this is for tables,
 * sheets and charts. Units as shown are ASCII and are read back by
 * table/unit.h. */
#ifndef BV_VIEW_NUMBER_H
#define BV_VIEW_NUMBER_H

#include "base/text.h"

/* A unit as shown: text and its size in the SI unit. */
typedef struct bv_shown_unit {
  double factor;
  char text[16]; /* "" for a pure number */
} bv_shown_unit;

/* The unit in which a magnitude (sign and NAN don't matter) of an SI unit,
 * rounded to so many digits, is read best: 1 <= number < 1000 where the unit
 * takes prefixes; lengths in mm, current densities in A/mm2, masses in g, as a
 * workshop has them. For a column give its largest magnitude. */
bv_shown_unit bv_number_unit(double magnitude, const char *si, int digits);

/* Writes value / unit.factor with 1 … 15 significant digits into text, which
 * has BV_NUMBER_SIZE bytes, and returns text. Whole pure numbers below 1e9 are
 * written as they are, numbers too small or large for plain notation with an
 * exponent; "-" for NAN, "inf", "-inf". */
char *bv_number_text(char *text, double value, bv_shown_unit unit, int digits);

/* Cuts the zeros at the end of a decimal fraction: 24.00 becomes 24. */
void bv_number_drop_zeros(char *text);

/* Appends number, blank and unit in the unit that suits this value alone. */
void bv_number_append(bv_buffer *buffer, double value, const char *si,
                      int digits);

/* Appends a unit as shown as it is typeset in UTF-8: "uF" as micro sign and F,
 * "ohm" as omega, "mm2" with a raised 2, "degC" with a degree sign. */
void bv_number_typeset_unit(bv_buffer *buffer, const char *shown);

#endif
