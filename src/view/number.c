/* SPDX-License-Identifier: MIT */
#include "view/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Units that the trade reads in a few forms only: from a magnitude on, a form
 * and its size. Rows of a unit in rising order; the last that fits holds. */
static const struct {
  const char *si, *shown;
  double from, factor;
} forms[] = {
    {"m", "um", 0, 1e-6},
    {"m", "mm", 1e-5, 1e-3},
    {"m", "m", 1, 1},
    {"m2", "mm2", 0, 1e-6},
    {"m2", "cm2", 1e-3, 1e-4},
    {"m2", "m2", 1, 1},
    {"m3", "mm3", 0, 1e-9},
    {"m3", "cm3", 1e-6, 1e-6},
    {"m3", "m3", 1, 1},
    {"m4", "mm4", 0, 1e-12},
    {"m4", "cm4", 1e-8, 1e-8},
    {"kg", "g", 0, 1e-3},
    {"kg", "kg", 1, 1},
    {"A/m2", "A/mm2", 0, 1e6},
    {"V/m", "V/m", 0, 1},
    {"V/m", "kV/m", 1e3, 1e3},
    {"V/m", "kV/mm", 1e5, 1e6},
    {"W/m3", "W/m3", 0, 1},
    {"W/m3", "kW/m3", 1e3, 1e3},
    {"W/m3", "MW/m3", 1e6, 1e6},
};

/* Units that take every prefix of engineering. */
static const char *const prefixed[] = {"s",   "Hz", "A", "V", "F", "H",
                                       "ohm", "C",  "J", "W", "T", "V/s"};

static const struct {
  const char *text;
  double factor;
} prefixes[] = {{"f", 1e-15}, {"p", 1e-12}, {"n", 1e-9}, {"u", 1e-6},
                {"m", 1e-3},  {"", 1},      {"k", 1e3},  {"M", 1e6},
                {"G", 1e9},   {"T", 1e12}};

/* The magnitude once it is rounded, so that 999.9 may become 1000. */
static double rounded(double magnitude, int digits) {
  char text[BV_NUMBER_SIZE];
  snprintf(text, sizeof text, "%.*e", digits - 1, fabs(magnitude));
  return strtod(text, NULL);
}

static bool takes_prefix(const char *si) {
  for (size_t i = 0; i < sizeof prefixed / sizeof *prefixed; i++)
    if (strcmp(prefixed[i], si) == 0)
      return true;
  return false;
}

static bv_shown_unit shown_as(const char *prefix, const char *unit,
                              double factor) {
  bv_shown_unit shown = {.factor = factor};
  snprintf(shown.text, sizeof shown.text, "%s%s", prefix, unit);
  return shown;
}

static bv_shown_unit with_prefix(double magnitude, const char *si) {
  size_t last = sizeof prefixes / sizeof *prefixes - 1, i = 0;
  while (i < last && magnitude >= prefixes[i + 1].factor * (1 - 1e-12))
    i++;
  return shown_as(prefixes[i].text, si, prefixes[i].factor);
}

bv_shown_unit bv_number_unit(double magnitude, const char *si, int digits) {
  magnitude = rounded(magnitude, digits);
  bool plain = !isfinite(magnitude) || magnitude == 0;
  if (!plain && takes_prefix(si))
    return with_prefix(magnitude, si);
  bv_shown_unit shown = shown_as("", si, 1);
  for (size_t i = 0; !plain && i < sizeof forms / sizeof *forms; i++)
    if (strcmp(forms[i].si, si) == 0 &&
        magnitude >= forms[i].from * (1 - 1e-12))
      shown = shown_as("", forms[i].shown, forms[i].factor);
  return shown;
}

/* Decimals so that a number has so many significant digits. */
static int decimals_of(double value, int digits) {
  double size = rounded(value, digits);
  int exponent = size > 0 ? (int) floor(log10(size) + 1e-12) : 0;
  int decimals = digits - 1 - exponent;
  return decimals > 0 ? decimals : 0;
}

char *bv_number_text(char *text, double value, bv_shown_unit unit, int digits) {
  double number =
      unit.factor < 1 ? value * round(1 / unit.factor) : value / unit.factor;
  double size = fabs(number);
  if (isnan(number))
    snprintf(text, BV_NUMBER_SIZE, "-");
  else if (isinf(number))
    snprintf(text, BV_NUMBER_SIZE, "%sinf", number < 0 ? "-" : "");
  else if (number == 0 ||
           (!*unit.text && number == floor(number) && size < 1e9))
    snprintf(text, BV_NUMBER_SIZE, "%.0f", number == 0 ? 0 : number);
  else if (size < 1e-4 || size >= 1e9)
    snprintf(text, BV_NUMBER_SIZE, "%.*e", digits - 1, number);
  else
    snprintf(text, BV_NUMBER_SIZE, "%.*f", decimals_of(number, digits), number);
  return text;
}

void bv_number_drop_zeros(char *text) {
  char *end = text + strlen(text);
  if (!strchr(text, '.') || strchr(text, 'e'))
    return;
  while (end[-1] == '0')
    *--end = '\0';
  if (end[-1] == '.')
    end[-1] = '\0';
}

void bv_number_append(bv_buffer *buffer, double value, const char *si,
                      int digits) {
  char text[BV_NUMBER_SIZE];
  bv_shown_unit unit = bv_number_unit(value, si, digits);
  bv_number_text(text, value, unit, digits);
  bv_buffer_print(buffer, "%s%s%s", text, *unit.text ? " " : "", unit.text);
}

/* Texts of a unit that are typeset otherwise; longest first. */
static const struct {
  const char *plain, *typeset;
} signs[] = {{"degC", "\xc2\xb0"
                      "C"},
             {"ohm", "\xce\xa9"},
             {"2", "\xc2\xb2"},
             {"3", "\xc2\xb3"},
             {"4", "\xe2\x81\xb4"}};

void bv_number_typeset_unit(bv_buffer *buffer, const char *shown) {
  if (*shown == 'u') {
    bv_buffer_print(buffer, "\xc2\xb5");
    shown++;
  }
  while (*shown) {
    size_t i = 0, count = sizeof signs / sizeof *signs;
    while (i < count &&
           strncmp(shown, signs[i].plain, strlen(signs[i].plain)) != 0)
      i++;
    bv_buffer_append(buffer, i < count ? signs[i].typeset : shown,
                     i < count ? strlen(signs[i].typeset) : 1);
    shown += i < count ? strlen(signs[i].plain) : 1;
  }
}
