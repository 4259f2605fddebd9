/* SPDX-License-Identifier: MIT */
/* Area 1: wire sizes and copper, and the rows of wire.csv. */
#include "base/constants.h"
#include "model/copper.h"
#include "model/wire.h"
#include "published.h"

/* "AWG 10", "AWG 4/0 …" -> 10, -3. */
static double gauge_of(const char *text) {
  const char *at = published_after(text, "AWG");
  ck_assert_msg(at != NULL, "no AWG in '%s'", text);
  double number = atof(at);
  return strncmp(at + 1, "/0", 2) == 0 ? 1 - number : number;
}

/* Of a length in m: how many of the row's units. */
static double lengths(const published_check *c, double metres) {
  return metres / (strcmp(c->unit, "mil") == 0 ? 25.4e-6 : 1e-3);
}

static double bare_diameter(const published_check *c) {
  return lengths(c, bv_wire_awg_diameter(gauge_of(c->inputs)));
}

static double bare_area(const published_check *c) {
  double area = bv_wire_area(bv_wire_awg_diameter(gauge_of(c->inputs)));
  return area / (strcmp(c->unit, "mm2") == 0 ? 1e-6 : 1e-7);
}

static double resistance(const published_check *c) {
  double temperature = atof(published_after(c->quantity, "at"));
  double area = bv_wire_area(bv_wire_awg_diameter(gauge_of(c->inputs)));
  ck_assert_str_eq(c->unit, "ohm/1000ft");
  return bv_copper_resistance(304.8, area, temperature);
}

static double resistivity(const published_check *c) {
  return bv_copper_resistivity(atof(published_after(c->quantity, "at"))) / 1e-6;
}

static double skin_depth(const published_check *c) {
  double kilohertz, temperature;
  ck_assert_int_eq(
      sscanf(c->inputs, "%lf kHz, %lf C", &kilohertz, &temperature), 2);
  return bv_copper_skin_depth(kilohertz * 1e3, temperature) / 1e-3;
}

static double overall_diameter(const published_check *c) {
  bv_wire_grade grade =
      strstr(c->quantity, "grade 2") ? BV_GRADE_2 : BV_GRADE_1;
  return bv_wire_overall_diameter(published_input(c, "nominal") * 1e-3, grade) /
         1e-3;
}

static const published_kind kinds[] = {
    {"AWG bare diameter", bare_diameter, NULL},
    {"AWG cross-section", bare_area, NULL},
    {"AWG bare area", bare_area, NULL},
    {"copper wire resistance", resistance, NULL},
    {"copper resistivity", resistivity, NULL},
    {"skin depth in copper", skin_depth, NULL},
    {"max overall diameter", overall_diameter, NULL},
};

START_TEST(wire_and_copper_are_as_published) {
  published_run("1", kinds, sizeof kinds / sizeof *kinds, 39);
}
END_TEST

/* wire.csv: sizes by ASTM B258, resistances by IEC 60028, overall diameters of
 * IEC 60317-0-1 (from memory, as each row says). */
START_TEST(wire_table_is_reproduced) {
  bv_csv csv = published_read("wire.csv");
  size_t enamelled = 0;
  for (size_t row = 1; row < csv.rows; row++) {
    double mm = published_number(&csv, row, "bare_diameter_mm");
    double area = published_number(&csv, row, "area_mm2");
    const char *name = published_text(&csv, row, "designation");
    if (published_starts(name, "AWG")) {
      /* Five digits in the file. */
      check_close(bv_wire_awg_diameter(gauge_of(name)), mm * 1e-3, 1e-4);
      check_close(bv_wire_awg_gauge(mm * 1e-3), gauge_of(name), 1e-4);
    }
    check_close(bv_wire_area(mm * 1e-3), area * 1e-6, 3e-4);
    check_close(bv_copper_resistance(1, bv_wire_area(mm * 1e-3), 20),
                published_number(&csv, row, "resistance_20C_ohm_per_m"), 3e-4);
    for (int grade = 1; grade <= 2; grade++) {
      char column[32];
      snprintf(column, sizeof column, "max_overall_grade%d_mm", grade);
      double overall = published_number(&csv, row, column);
      if (isnan(overall))
        continue;
      check_close(bv_wire_overall_diameter(mm * 1e-3, (bv_wire_grade) grade),
                  overall * 1e-3, 1e-9);
      enamelled++;
    }
  }
  ck_assert_uint_ge(enamelled, 36);
  ck_assert_uint_ge(csv.rows, 43);
  bv_csv_free(&csv);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {wire_and_copper_are_as_published,
                                wire_table_is_reproduced, NULL};
  return check_main("published/wire", tests);
}
