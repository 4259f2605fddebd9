/* SPDX-License-Identifier: MIT */
#include "table/unit.h"

#include <string.h>

#include "check_main.h"

START_TEST(factors_of_prefixed_units) {
  static const struct {
    const char *written, *si;
    double factor; /* 0: it is no such unit */
  } rows[] = {{"m2", "m2", 1},
              {"mm2", "m2", 1e-6},
              {"cm3", "m3", 1e-6},
              {"mm3", "m3", 1e-9},
              {"uF", "F", 1e-6},
              {"\xc2\xb5"
               "F",
               "F", 1e-6},
              {"kHz", "Hz", 1e3},
              {"mohm", "ohm", 1e-3},
              {"Mohm", "ohm", 1e6},
              {"ms", "s", 1e-3},
              {"g", "kg", 1e-3},
              {"kg", "kg", 1},
              {"mg", "kg", 1e-6},
              {"kW/m3", "W/m3", 1e3},
              {"mW/cm3", "W/m3", 1e3},
              {"A2s", "A2 s", 1},
              {"degC", "degC", 1},
              {"mm", "m", 1e-3},
              {"mdegC", "degC", 0},
              {"m", "m2", 0},
              {"mm3", "m2", 0},
              {"", "m", 0},
              {"F", "H", 0},
              {"xF", "F", 0},
              {"W/m3/s", "W/m3", 0},
              {"W", "W/m3", 0},
              {"k1/K", "1/K", 0},
              {"kkHz", "Hz", 0},
              {"/", "m", 0},
              {"lb", "kg", 0}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    double factor = bv_unit_factor(rows[i].written, rows[i].si);
    ck_assert_msg(fabs(factor - rows[i].factor) <= 1e-12 * rows[i].factor,
                  "%s as %s: %g", rows[i].written, rows[i].si, factor);
  }
}
END_TEST

/* A script's 97e-6 and a catalogue's 97 mm2 are the same double. */
START_TEST(prefixed_numbers_round_as_their_literals) {
  ck_assert(bv_unit_scale(97, bv_unit_factor("mm2", "m2")) == 97e-6);
  ck_assert(bv_unit_scale(1.7, bv_unit_factor("mm2", "m2")) == 1.7e-6);
  ck_assert(bv_unit_scale(7640, bv_unit_factor("mm3", "m3")) == 7640e-9);
  ck_assert(bv_unit_scale(4.7, bv_unit_factor("uF", "F")) == 4.7e-6);
  ck_assert(bv_unit_scale(3.3, bv_unit_factor("kHz", "Hz")) == 3.3e3);
  ck_assert(isinf(bv_unit_scale(HUGE_VAL, bv_unit_factor("mm", "m"))));
}
END_TEST

static const bv_field list[] = {
    {.name = "effective_area", .unit = "m2"},
    {.name = "effective_area_ratio", .unit = ""},
    {.name = "name", .unit = "", .kind = BV_TEXT},
    {.name = "charge", .unit = "C"},
};
static const bv_fields fields = {list, sizeof list / sizeof *list};

START_TEST(columns_find_their_fields) {
  static const struct {
    const char *column;
    int field; /* -1: none */
    double factor;
  } rows[] = {{"effective_area_mm2", 0, 1e-6},
              {"effective_area_m2", 0, 1},
              {"effective_area_ratio", 1, 1},
              {"name", 2, 1},
              {"charge_nC", 3, 1e-9},
              {"charge", -1, 0},
              {"effective_area", -1, 0},
              {"effective_area_m", -1, 0},
              {"effective_area_", -1, 0},
              {"name_m", -1, 0},
              {"", -1, 0}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    const bv_field *field = NULL;
    double factor = 0;
    bool found = bv_unit_column(fields, rows[i].column, &field, &factor);
    ck_assert_msg(found == (rows[i].field >= 0), "%s", rows[i].column);
    if (!found)
      continue;
    ck_assert_ptr_eq(field, &list[rows[i].field]);
    check_close(factor, rows[i].factor, 1e-12);
  }
}
END_TEST

START_TEST(units_of_bare_headers) {
  ck_assert_str_eq(bv_unit_si("ms"), "s");
  ck_assert_str_eq(bv_unit_si("cm3"), "m3");
  ck_assert_str_eq(bv_unit_si("A2s"), "A2 s");
  ck_assert_str_eq(bv_unit_si("mm"), "m");
  ck_assert_ptr_null(bv_unit_si("ratio"));
  ck_assert_ptr_null(bv_unit_si(""));
  bv_buffer text = {0};
  bv_unit_append_column(&text, "current_squared", "A2 s");
  ck_assert_str_eq(text.text, "current_squared_A2s");
  bv_buffer_free(&text);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      factors_of_prefixed_units, prefixed_numbers_round_as_their_literals,
      columns_find_their_fields, units_of_bare_headers, NULL};
  return check_main("table/unit", tests);
}
