/* SPDX-License-Identifier: MIT */
/* What a sheet shows: every number is one of the row, in its own place. */
#include "model/charge.h"
#include "sheet_print.h"
#include "table/unit.h"
#include "view/sheet_text.h"
#include "view/wave.h"

/* Numbers that a sheet may show. */
typedef struct known {
  double values[8192];
  size_t count;
} known;

static void know(known *k, double value) {
  ck_assert_uint_lt(k->count, sizeof k->values / sizeof *k->values);
  k->values[k->count++] = value;
}

static bool is_known(const known *k, double value) {
  for (size_t i = 0; i < k->count; i++)
    if (k->values[i] == value)
      return true;
  return false;
}

/* The row's own columns as the file has them, and half the gap. */
static void know_row(known *k, const bv_row *row) {
  const bv_front *front = row->front;
  for (size_t c = 0; c < front->columns; c++)
    if (!front->column[c].is_text) {
      double value = bv_front_value(front, row->index, c)->number, again;
      char text[BV_NUMBER_SIZE];
      ck_assert(isnan(value) ||
                bv_parse_number(bv_format_number(text, value), &again));
      know(k, value);
    }
  know(k, bv_row_number(row, "gap_length") / 2);
}

/* Shares of losses, limits and what is left, objectives of other rows. */
static void know_reasons(known *k, const bv_row *row) {
  const bv_front *front = row->front;
  for (size_t c = 0; c < front->columns; c++) {
    const bv_column *column = &front->column[c];
    double value = bv_front_value(front, row->index, c)->number;
    if (strncmp(column->name, "loss_energy_", 12) == 0)
      know(k, value / bv_row_number(row, "loss_energy"));
    know(k, column->limit_max);
    know(k, column->limit_min);
    know(k, (column->limit_max - value) / fabs(column->limit_max));
    know(k, (value - column->limit_min) / fabs(column->limit_min));
    for (size_t r = 0; r < front->rows && column->role != BV_ROLE_RESULT; r++) {
      double there = bv_front_value(front, r, c)->number;
      know(k, there);
      know(k, (there - value) / fabs(value));
    }
  }
}

static void know_charge(known *k, bv_circuit circuit, double supply,
                        const double factors[6]) {
  bv_charge charge;
  circuit.supply_voltage = supply;
  circuit.primary_inductance *= factors[0];
  circuit.peak_current *= factors[1];
  circuit.storage_capacitance *= factors[2];
  circuit.leakage_inductance *= factors[3];
  circuit.clamp_voltage *= factors[4];
  circuit.target_voltage *= factors[5];
  bv_charge_envelope(&circuit, &charge);
  ck_assert_int_eq(charge.reason, BV_REASON_OK);
  know(k, charge.charge_time);
  know(k, charge.primary_current_max);
  know(k, charge.frequency_end);
  know(k, charge.switch_voltage);
  know(k, charge.diode_voltage);
  know(k, charge.efficiency);
}

/* The corners and the charge from the design's own circuit. */
static void know_circuit(known *k, const bv_circuit *circuit, double winding) {
  static const struct {
    double supply, factors[6];
  } corners[] = {{24, {1, 1, 1, 1, 1, 1}},
                 {21, {1, 1, 1, 1, 1, 1}},
                 {29, {1, 1, 1, 1, 1, 1}},
                 {24, {0.9, 1, 1, 1, 1, 1}},
                 {24, {1.1, 1, 1, 1, 1, 1}},
                 {24, {1, 0.95, 1, 1, 1, 1}},
                 {24, {1, 1.05, 1, 1, 1, 1}},
                 {24, {1, 1, 1.1, 1, 1, 1}},
                 {24, {1, 1, 1, 1.3, 1, 1}},
                 {24, {1, 1, 1, 1, 1.05, 1.01}},
                 {21, {1, 0.95, 1.1, 1.3, 0.95, 1.01}},
                 {29, {0.9, 1.05, 1, 1, 1.05, 1.01}}};
  for (size_t i = 0; i < sizeof corners / sizeof *corners; i++)
    know_charge(k, *circuit, corners[i].supply, corners[i].factors);
  bv_circuit more = *circuit;
  more.node_capacitance += winding / 2;
  more.node_capacitance_winding += winding / 2;
  know_charge(k, more, 24, corners[0].factors);
  bv_waveforms wave;
  bv_wave_plan plan = {2, 24, 400};
  ck_assert_int_eq(bv_wave_make(circuit, &plan, &wave, NULL), BV_OK);
  for (size_t i = 0; i < wave.moment_count; i++) {
    const double *values = (const double *) &wave.moments[i];
    for (size_t v = 0; v < sizeof *wave.moments / sizeof *values; v++)
      know(k, values[v]);
  }
  bv_wave_free(&wave);
}

/* A typeset unit as it is written in files. */
static void untypeset(const char *shown, char *plain) {
  static const struct {
    const char *typeset, *plain;
  } signs[] = {{"µ", "u"}, {"Ω", "ohm"}, {"°C", "degC"},
               {"²", "2"}, {"³", "3"},   {"⁴", "4"}};
  for (*plain = '\0'; *shown;) {
    size_t i = 0, count = sizeof signs / sizeof *signs;
    while (i < count &&
           strncmp(shown, signs[i].typeset, strlen(signs[i].typeset)) != 0)
      i++;
    size_t length = i < count ? strlen(signs[i].typeset) : 1;
    strncat(plain, i < count ? signs[i].plain : shown,
            i < count ? strlen(signs[i].plain) : 1);
    shown += length;
  }
}

/* What is shown reads back to the value, to half a unit in the last digit. */
static void check_shown(const char *shown, double value) {
  char *rest, unit[64];
  double number = strtod(shown, &rest), factor = 1;
  ck_assert_msg(rest != shown, "no number: %s", shown);
  untypeset(rest + (*rest == ' '), unit);
  bool percent = strcmp(unit, "%") == 0;
  if (percent)
    factor = 0.01;
  else if (*unit)
    factor = bv_unit_factor(unit, bv_unit_si(unit));
  ck_assert_msg(factor > 0, "unit of %s", shown);
  check_close(number * factor, value, percent ? 5.1e-3 : 5.1e-4);
}

/* Every value of the page is a known one and is shown rightly; returns how many
 * there are and takes them out of the text. */
static size_t take_values(bv_buffer *page, const known *k) {
  size_t count = 0;
  char *at;
  while ((at = strstr(page->text, "<data value=\"")) != NULL) {
    char *end = strstr(at, "</data>"), *shown = strchr(at, '>') + 1;
    double value = strtod(at + strlen("<data value=\""), NULL);
    *end = '\0';
    ck_assert_msg(is_known(k, value), "%s (%.17g) is from nowhere", shown,
                  value);
    check_shown(shown, value);
    end += strlen("</data>");
    memmove(at, end, strlen(end) + 1);
    count++;
  }
  return count;
}

/* Digits that aren't values are those of fixed texts and of names. */
static bool is_fixed(const bv_front *front, const char *digits) {
  static const char *const others[] = {
      "Brimvolt 0.1.0", "seed 7",
      "SHA-256",        "20000 evaluations",
      "Row 2",          "8b1a9953c4611296",
      "row 1 3 4",      "-10 % +5 % +30 % +1 %"};
  for (size_t i = 0; i < bv_sheet_line_count; i++)
    if (strstr(bv_sheet_lines[i].text, digits))
      return true;
  for (size_t i = 0; i < sizeof others / sizeof *others; i++)
    if (strstr(others[i], digits))
      return true;
  for (size_t i = 0; i < front->columns; i++)
    if (front->values[i + front->columns].text &&
        strstr(front->values[i + front->columns].text, digits))
      return true;
  return strstr(front->origin.title, digits) != NULL;
}

static void check_no_other_digits(const bv_front *front, char *text) {
  cut(text, "<style>", "</style>");
  cut(text, "<svg", "</svg>");
  cut(text, "&#", ";");
  cut(text, "<", ">");
  for (text += strcspn(text, "0123456789"); *text;) {
    char digits[32];
    size_t length = strspn(text, "0123456789.");
    snprintf(digits, sizeof digits, "%.*s", (int) length, text);
    if (digits[strlen(digits) - 1] == '.')
      digits[strlen(digits) - 1] = '\0';
    ck_assert_msg(is_fixed(front, digits), "%s is from nowhere: %.40s", digits,
                  text);
    text += length;
    text += strcspn(text, "0123456789");
  }
}

START_TEST(every_number_is_the_rows) {
  bv_front front = sample_front();
  bv_row row = {&front, 1};
  bv_design design = sample_design(1);
  known *k = calloc(1, sizeof *k);
  know_row(k, &row);
  know_reasons(k, &row);
  know_circuit(k, &design.circuit, design.winding_capacitance_reflected);
  bv_buffer page = print(&front, 1, true);
  ck_assert_uint_ge(take_values(&page, k), 250);
  check_no_other_digits(&front, page.text);
  bv_buffer_free(&page);
  free(k);
  bv_front_free(&front);
}
END_TEST

START_TEST(an_interleaved_winding_has_its_own_order) {
  bv_front front = sample_front();
  bv_buffer plain = print(&front, 0, false), both = print(&front, 2, false);
  check_has(&plain, "1. Primary next to the centre leg");
  check_lacks(&plain, "Second half of the primary");
  check_lacks(&plain, "chamber wall between");
  check_has(&both, "1. First half of the primary");
  check_has(&both, "Second half of the primary");
  check_lacks(&both, "1. Primary next to the centre leg");
  bv_buffer_free(&plain);
  bv_buffer_free(&both);
  bv_front_free(&front);
}
END_TEST

/* What a winder would send back: each must hold for every sheet printed. */
START_TEST(what_the_sheet_says_can_be_wound) {
  bv_front front = sample_front();
  for (size_t i = 0; i < SAMPLE_ROWS; i++) {
    bv_row row = {&front, i};
    ck_assert(bv_row_number(&row, "gap_length") > 0);
    ck_assert(bv_row_number(&row, "winding_build") <=
              bv_row_number(&row, "window_build"));
    ck_assert(2 * bv_row_number(&row, "margin") >=
              bv_row_number(&row, "creepage") * (1 - 1e-12));
    ck_assert(bv_row_number(&row, "barrier_thickness") > 0);
    double across = (bv_row_number(&row, "primary_turns_per_layer") + 1) *
                    bv_row_number(&row, "primary_wire_outer");
    ck_assert(across <= bv_row_number(&row, "winding_width") * (1 + 1e-9));
    ck_assert(bv_row_number(&row, "test_voltage") >
              2 * bv_row_number(&row, "working_voltage"));
  }
  bv_front_free(&front);
}
END_TEST

/* The distances that a winder keeps, each in its own place: in the sample some
 * of them are equal. */
START_TEST(every_distance_stands_where_it_belongs) {
  static const char *const lines[] = {
      "| secondary and primary or core | 100 V rms, 200 V impulse or peak | "
      "1 mm | 2 mm, 3 mm |",
      "| sections | 300 V | 4 mm | margin 5 mm |",
      "| secondary layers | 400 V | 6 mm: 7 kV/mm in tape and enamel | margin "
      "5 mm |",
      "creepage 8 mm |"};
  static const struct {
    const char *name;
    double value;
  } given[] = {{"working_voltage", 100},     {"impulse_voltage", 200},
               {"barrier_thickness", 1e-3},  {"clearance", 2e-3},
               {"creepage", 3e-3},           {"section_gap_voltage", 300},
               {"section_insulation", 4e-3}, {"margin", 5e-3},
               {"layer_voltage", 400},       {"layer_insulation", 6e-3},
               {"layer_field", 7e6},         {"creepage_output", 8e-3}};
  bv_front front = sample_front();
  for (size_t i = 0; i < sizeof given / sizeof *given; i++)
    set(&front, 1, given[i].name, given[i].value);
  bv_buffer text = print(&front, 1, false);
  for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
    check_has(&text, lines[i]);
  bv_buffer_free(&text);
  bv_front_free(&front);
}
END_TEST

/* A cell of a row of numbers: number times its SI prefix. */
static double cell_at(const char *line, int cell) {
  char unit[16] = "";
  double number;
  for (; cell >= 0; cell--)
    line = strchr(line, '|') + 1;
  ck_assert_int_ge(sscanf(line, "%lf %15[^|]", &number, unit), 1);
  double scale = strncmp(unit, "µ", 2) == 0 ? 1e-6
                 : *unit == 'm'             ? 1e-3
                 : *unit == 'k'             ? 1e3
                                            : 1;
  return number * scale;
}

/* Two cycles at either end, against the results of the whole charge; the one
 * after those completed ends at the target. */
START_TEST(first_and_last_cycles_are_told) {
  bv_front front = sample_front();
  bv_row row = {&front, 1};
  bv_circuit circuit;
  bv_charge charge;
  ck_assert_int_eq(bv_row_circuit(&row, &circuit, NULL, NULL), BV_OK);
  bv_charge_cycles(&circuit, NULL, &charge);
  bv_buffer text = print(&front, 1, false);
  const char *line = strstr(text.text, "## First and last cycles");
  for (int skip = 0; skip < 4; skip++)
    line = strchr(line, '\n') + 1;
  double cycles[] = {1, 2, charge.cycles, charge.cycles + 1};
  for (size_t i = 0; i < 4; i++, line = strchr(line, '\n') + 1) {
    check_close(cell_at(line, 0), cycles[i], 0);
    check_close(cell_at(line, 4), charge.primary_current_max, 0.01);
    if (i == 0)
      ck_assert(cell_at(line, 1) == 0);
    if (i < 2)
      continue;
    check_close(cell_at(line, 1), circuit.target_voltage, 0.001);
    if (i == 2)
      check_close(cell_at(line, 2), 1 / charge.frequency_end, 0.001);
    check_close(cell_at(line, 5),
                charge.primary_current_max / circuit.turns_ratio, 0.1);
  }
  ck_assert(*line == '\n');
  bv_buffer_free(&text);
  bv_front_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {every_number_is_the_rows,
                                an_interleaved_winding_has_its_own_order,
                                what_the_sheet_says_can_be_wound,
                                every_distance_stands_where_it_belongs,
                                first_and_last_cycles_are_told,
                                NULL};
  return check_main("sheet_numbers", tests);
}
