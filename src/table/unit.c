/* SPDX-License-Identifier: MIT */
#include "table/unit.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

/* SI brochure (9th ed.), table 7. */
static const struct {
  const char *text;
  double factor;
} prefixes[] = {
    {"", 1},     {"f", 1e-15},       {"p", 1e-12},       {"n", 1e-9},
    {"u", 1e-6}, {"\xc2\xb5", 1e-6}, {"\xce\xbc", 1e-6}, {"m", 1e-3},
    {"c", 1e-2}, {"k", 1e3},         {"M", 1e6},         {"G", 1e9},
    {"T", 1e12}};

/* A term of a unit: letters, then an exponent of one digit or none. */
typedef struct term {
  const char *symbol;
  size_t length;
  int exponent;
} term;

static term term_at(const char *text) {
  size_t whole = strcspn(text, " /");
  bool has_exponent = whole > 1 && isdigit((unsigned char) text[whole - 1]);
  return (term){text, whole - has_exponent,
                has_exponent ? text[whole - 1] - '0' : 1};
}

static double prefix_factor(const char *text, size_t length) {
  for (size_t i = 0; i < sizeof prefixes / sizeof *prefixes; i++)
    if (strlen(prefixes[i].text) == length &&
        memcmp(prefixes[i].text, text, length) == 0)
      return prefixes[i].factor;
  return 0;
}

/* The kilogram is the SI unit that has a prefix itself. */
static double kilogram_factor(term written) {
  if (written.symbol[written.length - 1] != 'g')
    return 0;
  return prefix_factor(written.symbol, written.length - 1) / 1e3;
}

static double term_factor(term written, term si) {
  if (written.length == 0 || written.exponent != si.exponent)
    return 0;
  if (si.length == 2 && memcmp(si.symbol, "kg", 2) == 0)
    return kilogram_factor(written);
  if (written.length < si.length)
    return 0;
  size_t prefix = written.length - si.length;
  bool takes_prefix =
      isalpha((unsigned char) *si.symbol) && strncmp(si.symbol, "deg", 3) != 0;
  if (memcmp(written.symbol + prefix, si.symbol, si.length) != 0 ||
      (prefix > 0 && !takes_prefix))
    return 0;
  return pow(prefix_factor(written.symbol, prefix), si.exponent);
}

static bool same_without_blanks(const char *written, const char *si) {
  for (; *si; si++) {
    if (*si == ' ')
      continue;
    if (*written++ != *si)
      return false;
  }
  return *written == '\0';
}

double bv_unit_factor(const char *written, const char *si) {
  if (same_without_blanks(written, si))
    return 1;
  double factor = 1;
  char between = ' ';
  for (;;) {
    double of_term = term_factor(term_at(written), term_at(si));
    factor *= between == '/' && of_term > 0 ? 1 / of_term : of_term;
    written += strcspn(written, " /");
    si += strcspn(si, " /");
    if (factor == 0 || *written != *si)
      return 0;
    if (!*si)
      return factor;
    between = *si++;
    written++;
  }
}

double bv_unit_scale(double value, double factor) {
  return factor < 1 ? value / round(1 / factor) : value * factor;
}

const char *bv_unit_si(const char *written) {
  static const char *const units[] = {
      "s",   "Hz",  "A",   "V",    "F",    "H",    "ohm", "C",    "J",   "W",
      "m",   "m2",  "m3",  "m4",   "kg",   "T",    "K",   "degC", "K/W", "1/K",
      "1/s", "V/s", "V/m", "W/m3", "A2 s", "A/m2", "A/m", "1/K2", "J/K", "rad"};
  for (size_t i = 0; i < sizeof units / sizeof *units; i++)
    if (bv_unit_factor(written, units[i]) > 0)
      return units[i];
  return NULL;
}

bool bv_unit_column(bv_fields fields, const char *column,
                    const bv_field **field, double *factor) {
  for (size_t i = 0; i < fields.count; i++) {
    const bv_field *each = &fields.list[i];
    size_t length = strlen(each->name);
    if (strncmp(column, each->name, length) != 0)
      continue;
    const char *rest = column + length;
    if (!*each->unit ? *rest != '\0' : *rest != '_')
      continue;
    *factor = *each->unit ? bv_unit_factor(rest + 1, each->unit) : 1;
    *field = each;
    if (*factor > 0)
      return true;
  }
  return false;
}

void bv_unit_append_column(bv_buffer *buffer, const char *name,
                           const char *unit) {
  bv_buffer_append(buffer, name, strlen(name));
  if (!unit || !*unit)
    return;
  bv_buffer_append(buffer, "_", 1);
  for (; *unit; unit++)
    if (*unit != ' ')
      bv_buffer_append(buffer, unit, 1);
}
