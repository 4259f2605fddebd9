/* SPDX-License-Identifier: MIT */
#include "view/number.h"

#include <string.h>

#include "check_main.h"
#include "model/design.h"
#include "table/unit.h"

static const struct {
  double value;
  const char *si;
  int digits;
  const char *shown;
} shown[] = {
    {47e-6, "F", 3, "47.0 uF"},
    {1.5e3, "V", 3, "1.50 kV"},
    {-0.0123456, "A", 4, "-12.35 mA"},
    {999.96e-3, "V", 4, "1.000 V"},
    {999.4e-3, "V", 3, "999 mV"},
    {1e-6, "s", 3, "1.00 us"},
    {1e-3, "s", 3, "1.00 ms"},
    {3e-17, "F", 2, "0.030 fF"},
    {0.00085, "m", 3, "0.850 mm"},
    {12.34, "m", 3, "12.3 m"},
    {4e-6, "m", 3, "4.00 um"},
    {97.1e-6, "m2", 3, "97.1 mm2"},
    {7.6e-6, "m3", 3, "7.60 cm3"},
    {1.19e-8, "m4", 3, "1.19 cm4"},
    {0.04, "kg", 3, "40.0 g"},
    {5.4e6, "A/m2", 3, "5.40 A/mm2"},
    {1.2e5, "W/m3", 3, "120 kW/m3"},
    {4.1e6, "V/m", 3, "4.10 kV/mm"},
    {62.0, "degC", 3, "62.0 degC"},
    {0.2501, "T", 3, "250 mT"},
    {2.2e6, "ohm", 3, "2.20 Mohm"},
    {0.9123, "", 3, "0.912"},
    {1234567, "", 3, "1234567"},
    {12, "", 4, "12"},
    {12.5, "", 2, "12"},
    {1.25e-7, "", 3, "1.25e-07"},
    {0, "V", 3, "0 V"},
    {-0.0, "", 3, "0"},
    {0.5, "1/s", 3, "0.500 1/s"},
    {HUGE_VAL, "s", 3, "inf s"},
    {-HUGE_VAL, "", 3, "-inf"},
    {(double) NAN, "", 3, "-"},
    {99999, "K", 3, "99999 K"},
};

START_TEST(shows_digits_and_prefix) {
  for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
    bv_buffer text = {0};
    bv_number_append(&text, shown[i].value, shown[i].si, shown[i].digits);
    ck_assert_str_eq(text.text, shown[i].shown);
    bv_buffer_free(&text);
  }
}
END_TEST

/* What is shown reads back by the unit reader of the tables, to half a unit in
 * the last digit. */
START_TEST(reads_back) {
  static const char *const units[] = {"s",   "Hz", "A",  "V", "F",    "H",
                                      "ohm", "C",  "J",  "W", "T",    "m",
                                      "m2",  "m3", "kg", "K", "A/m2", "W/m3"};
  for (size_t u = 0; u < sizeof units / sizeof *units; u++)
    for (double value = 1.23456789e-13; value < 1e13; value *= 2.7) {
      bv_shown_unit unit = bv_number_unit(value, units[u], 6);
      char text[BV_NUMBER_SIZE];
      double number;
      ck_assert(bv_parse_number(bv_number_text(text, value, unit, 6), &number));
      check_close(bv_unit_scale(number, bv_unit_factor(unit.text, units[u])),
                  value, 5.1e-6);
    }
}
END_TEST

START_TEST(one_unit_serves_a_column) {
  char text[BV_NUMBER_SIZE];
  bv_shown_unit unit = bv_number_unit(12.5e-3, "s", 3);
  ck_assert_str_eq(unit.text, "ms");
  ck_assert_str_eq(bv_number_text(text, 0.25e-3, unit, 3), "0.250");
  ck_assert_str_eq(bv_number_text(text, 12.5e-3, unit, 3), "12.5");
}
END_TEST

static void check_typeset(const char *shown_unit, const char *expected) {
  bv_buffer text = {0};
  bv_number_typeset_unit(&text, shown_unit);
  bv_buffer_append(&text, "", 0);
  ck_assert_str_eq(text.text, expected);
  bv_buffer_free(&text);
}

START_TEST(typesets_units) {
  check_typeset("uF", "µF");
  check_typeset("Mohm", "MΩ");
  check_typeset("mm2", "mm²");
  check_typeset("A/mm2", "A/mm²");
  check_typeset("cm4", "cm⁴");
  check_typeset("degC", "°C");
  check_typeset("kg", "kg");
}
END_TEST

/* Else a column of it could not be read without its sidecar. */
START_TEST(every_unit_of_a_design_is_known) {
  for (size_t i = 0; i < bv_design_fields.count; i++) {
    const char *unit = bv_design_fields.list[i].unit;
    if (!*unit)
      continue;
    ck_assert_msg(bv_unit_si(unit) != NULL, "%s", unit);
    ck_assert_str_eq(bv_unit_si(unit), unit);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {shows_digits_and_prefix,         reads_back,
                                one_unit_serves_a_column,        typesets_units,
                                every_unit_of_a_design_is_known, NULL};
  return check_main("number", tests);
}
