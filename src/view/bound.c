/* SPDX-License-Identifier: MIT */
#include "view/bound.h"

#include <stdlib.h>
#include <string.h>

#include "table/unit.h"
#include "view/number.h"

/* Digits of a bound: a file has four, which a prefix may shift. */
enum { DIGITS = 6 };

/* The length of "at most " or "at least " at the head of text, or 0. */
static size_t side_length(const char *text) {
  static const char *const sides[] = {"at most ", "at least "};
  for (size_t i = 0; i < sizeof sides / sizeof *sides; i++)
    if (strncmp(text, sides[i], strlen(sides[i])) == 0)
      return strlen(sides[i]);
  return 0;
}

bool bv_bound_append(bv_buffer *out, const char *text, bool typeset) {
  size_t side = side_length(text);
  char *end = NULL, number[BV_NUMBER_SIZE];
  double value = side > 0 ? strtod(text + side, &end) : 0;
  const char *si =
      end && end > text + side && *end == ' ' ? bv_unit_si(end + 1) : NULL;
  if (!si)
    return false;
  value *= bv_unit_factor(end + 1, si);
  bv_shown_unit unit = bv_number_unit(value, si, DIGITS);
  bv_number_drop_zeros(bv_number_text(number, value, unit, DIGITS));
  bv_buffer_append(out, text, side);
  bv_buffer_print(out, "%s ", number);
  if (typeset)
    bv_number_typeset_unit(out, unit.text);
  else
    bv_buffer_print(out, "%s", unit.text);
  return true;
}
