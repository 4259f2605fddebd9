/* SPDX-License-Identifier: MIT */
#include "view/sheet.h"

#include "golden.h"
#include "model/charge.h"
#include "sample.h"
#include "table/unit.h"
#include "view/sheet_text.h"
#include "view/wave.h"

static bv_buffer print(const bv_front *front, size_t row, bool html) {
  bv_buffer out = {0};
  bv_row it = {front, row};
  bv_error error;
  bv_sheet_options options = {.html = html};
  ck_assert_msg(bv_sheet_print(&it, &options, &out, &error) == BV_OK, "%s",
                error.text);
  return out;
}

static void cut(char *text, const char *from, const char *to) {
  char *at;
  while ((at = strstr(text, from)) != NULL) {
    char *end = strstr(at, to) + strlen(to);
    memmove(at, end, strlen(end) + 1);
  }
}

/* A kept front, so that better models don't change the golden sheet. */
static bv_front kept_front(void) {
  char path[512];
  const char *root = getenv("ROOT"), *mode = getenv("BV_GOLDEN");
  snprintf(path, sizeof path, "%s/tests/view/golden/front.csv",
           root ? root : ".");
  bv_front front;
  bv_error error;
  if (mode && strcmp(mode, "front") == 0) {
    front = sample_front();
    ck_assert_int_eq(bv_front_write(&front, NULL, path, &error), BV_OK);
    bv_front_free(&front);
  }
  ck_assert_msg(bv_front_read(path, &front, &error) == BV_OK, "%s", error.text);
  return front;
}

/* Takes out the sections that the models make anew from the circuit; what they
 * show is checked by every_number_is_the_rows. */
static void cut_made(bv_buffer *text) {
  char *from = strstr(text->text, "Corners"),
       *to = strstr(text->text, "First on the bench");
  ck_assert(from && to && from < to);
  memmove(from, to, strlen(to) + 1);
  cut(text->text, "<figure>", "</figure>");
  text->length = strlen(text->text);
}

START_TEST(prints_the_golden_sheet) {
  bv_front front = kept_front();
  for (int html = 0; html < 2; html++) {
    bv_buffer out = print(&front, 1, html);
    cut_made(&out);
    golden_check(html ? "sheet.html" : "sheet.md", &out);
    bv_buffer_free(&out);
  }
  bv_front_free(&front);
}
END_TEST

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
static void know_circuit(known *k, const bv_circuit *circuit) {
  static const struct {
    double supply, factors[6];
  } corners[] = {
      {24, {1, 1, 1, 1, 1, 1}},           {21, {1, 1, 1, 1, 1, 1}},
      {29, {1, 1, 1, 1, 1, 1}},           {24, {0.9, 1, 1, 1, 1, 1}},
      {24, {1.1, 1, 1, 1, 1, 1}},         {24, {1, 0.95, 1, 1, 1, 1}},
      {24, {1, 1.05, 1, 1, 1, 1}},        {24, {1, 1, 1.1, 1, 1, 1}},
      {24, {1, 1, 1, 1.3, 1, 1}},         {24, {1, 1, 1, 1, 1.05, 1}},
      {24, {1, 1, 1, 1, 1, 1.01}},        {21, {1, 0.95, 1.1, 1.3, 0.95, 1.01}},
      {29, {0.9, 1.05, 1, 1, 1.05, 1.01}}};
  for (size_t i = 0; i < sizeof corners / sizeof *corners; i++)
    know_charge(k, *circuit, corners[i].supply, corners[i].factors);
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
  know_circuit(k, &design.circuit);
  bv_buffer page = print(&front, 1, true);
  ck_assert_uint_ge(take_values(&page, k), 250);
  check_no_other_digits(&front, page.text);
  bv_buffer_free(&page);
  free(k);
  bv_front_free(&front);
}
END_TEST

static void check_has(const bv_buffer *text, const char *part) {
  ck_assert_msg(strstr(text->text, part) != NULL, "\"%s\" is missing", part);
}

static void check_lacks(const bv_buffer *text, const char *part) {
  ck_assert_msg(strstr(text->text, part) == NULL, "\"%s\" is there", part);
}

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

/* A study may return numbers of its own only. */
START_TEST(sections_without_columns_are_named) {
  bv_front front;
  ck_assert_int_eq(bv_front_make(&front, 3, 1, NULL), BV_OK);
  sample_name(&front.column[0], "row", "", BV_ROLE_ID);
  sample_name(&front.column[1], "charge_time", "s", BV_ROLE_RESULT);
  sample_name(&front.column[2], "price", "", BV_ROLE_RESULT);
  for (size_t i = 0; i < 3; i++)
    front.values[i].number = 1;
  for (int html = 0; html < 2; html++) {
    bv_buffer text = print(&front, 0, html);
    check_has(&text, "the charged storage capacitor can kill");
    check_has(&text, "Discharge it through a resistor");
    check_has(&text, "Before touching: supply off and locked");
    check_has(&text, "Local codes and the product");
    check_has(&text, "What the models leave out");
    check_has(&text, "for them: Job, What the design does, Circuit, "
                     "Winding specification,");
    check_has(&text, "Corners, Charge, First and last cycles, Why this "
                     "design.");
    check_lacks(&text, "nan");
    if (!html)
      check_lacks(&text, "{");
    bv_buffer_free(&text);
  }
  bv_front_free(&front);
}
END_TEST

START_TEST(every_sheet_has_its_cautions) {
  bv_front front = sample_front();
  for (size_t i = 0; i < SAMPLE_ROWS; i++)
    for (int html = 0; html < 2; html++) {
      bv_buffer text = print(&front, i, html);
      check_has(&text, "High voltage: the charged storage capacitor can kill");
      check_has(&text, "discharge through a resistor on an insulated stick");
      check_has(&text, "Never rely on it alone");
      check_has(&text, "Local codes and the product");
      bv_buffer_free(&text);
    }
  bv_front_free(&front);
}
END_TEST

static void replace(char **text, const char *by) {
  free(*text);
  *text = strdup(by);
}

/* Names from files are shown as they are and do nothing. */
START_TEST(hostile_names_stay_texts) {
  static const char hostile[] =
      "</td><script>alert(1)</script>|[x](javascript:1)`*_#&\"'\n\x01";
  bv_front front = sample_front();
  replace(&front.origin.title, hostile);
  replace(&front.origin.study, hostile);
  replace(&bv_front_value(&front, 1, bv_front_find(&front, "material"))->text,
          hostile);
  replace(&sample_column(&front, "hot_spot_temperature")->name,
          "hot\" onload=<svg>");
  bv_buffer page = print(&front, 1, true), text = print(&front, 1, false);
  check_lacks(&page, "<script");
  check_lacks(&page, "\x01");
  check_lacks(&page, "onload=<");
  check_has(&page, "&lt;/td&gt;&lt;script&gt;alert(1)&lt;/script&gt;");
  check_lacks(&text, "<script");
  check_lacks(&text, "</td>");
  check_lacks(&text, "|[x]");
  check_lacks(&text, " [x](");
  check_has(&text, "\\|\\[x\\](javascript:1)\\`\\*\\_\\#&amp;");
  bv_buffer_free(&page);
  bv_buffer_free(&text);
  bv_front_free(&front);
}
END_TEST

static void set(bv_front *front, size_t row, const char *name, double value) {
  bv_front_value(front, row, bv_front_find(front, name))->number = value;
}

/* Of rows at distances 0.001, 0.4 and 1 the first is the same trade. */
START_TEST(near_rows_are_others_that_trade_differently) {
  static const double times[] = {1.0, 1.001, 1.4, 2.0};
  bv_front front = sample_front();
  for (size_t i = 0; i < SAMPLE_ROWS; i++) {
    set(&front, i, "charge_time", times[i]);
    set(&front, i, "loss_energy", 3);
  }
  bv_buffer text = print(&front, 0, false);
  check_lacks(&text, "| row 2 |");
  const char *third =
      strstr(text.text, "| row 3 | charge\\_time 1.4 s (+40.0 %)");
  const char *fourth =
      strstr(text.text, "| row 4 | charge\\_time 2 s (+100 %)");
  ck_assert(third && fourth && third < fourth);
  bv_buffer_free(&text);
  for (size_t i = 0; i < SAMPLE_ROWS; i++)
    set(&front, i, "charge_time", 1);
  text = print(&front, 0, false);
  check_lacks(&text, "Near on the front");
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

START_TEST(a_design_near_the_front_says_what_it_misses) {
  static const char *const told[][2] = {{"near_limit", "hot_spot_temperature"},
                                        {"near_allowed", "at most 60 degC"},
                                        {"near_needed", "at most 61 degC"}};
  bv_front front = sample_front();
  ck_assert_int_eq(bv_front_insert(&front, 1, 3, NULL), BV_OK);
  for (size_t i = 0; i < 3; i++) {
    sample_name(&front.column[i + 1], told[i][0], "", BV_ROLE_RESULT);
    front.column[i + 1].is_text = true;
    bv_front_value(&front, 1, i + 1)->text = strdup(told[i][1]);
  }
  size_t heat = bv_front_find(&front, "hot_spot_temperature");
  front.column[heat].limit_max = bv_front_value(&front, 1, heat)->number - 1;
  for (int html = 0; html < 2; html++) {
    bv_buffer text = print(&front, 1, html);
    check_has(&text, "Design 2 near the front.");
    check_has(&text, html ? "allow this design: hot_spot_temperature has to be "
                            "at most 60 degC, here at most 61 degC."
                          : "allow this design: hot\\_spot\\_temperature has "
                            "to be at most 60 degC, here at most 61 degC.");
    check_has(&text, ", missed");
    check_lacks(&text, "Near on the front");
    bv_buffer_free(&text);
  }
  front.column[heat].limit_max += 1;
  bv_buffer met = print(&front, 1, false);
  check_lacks(&met, ", missed");
  check_has(&met, ", binds");
  bv_buffer_free(&met);
  bv_front_free(&front);
}
END_TEST

START_TEST(a_circuit_that_fails_is_told) {
  bv_front front = sample_front();
  size_t column = bv_front_find(&front, "clamp_voltage");
  bv_front_value(&front, 1, column)->number = 1;
  bv_buffer text = print(&front, 1, false);
  check_has(&text, "clamp\\_below\\_reflected");
  check_has(&text, "| nominal | the reflected voltage exceeds the clamp");
  bv_buffer_free(&text);
  bv_front_free(&front);
}
END_TEST

START_TEST(the_page_forbids_everything_but_its_style) {
  bv_front front = sample_front();
  bv_buffer page = print(&front, 1, true);
  check_has(&page, "content=\"default-src 'none'; style-src 'sha256-");
  check_lacks(&page, "unsafe");
  check_lacks(&page, " style=");
  check_lacks(&page, "http:");
  check_lacks(&page, "https:");
  check_lacks(&page, "url(");
  check_lacks(&page, "@import");
  check_lacks(&page, "<script");
  check_lacks(&page, "<link");
  ck_assert_uint_lt(page.length, 300000);
  bv_buffer_free(&page);
  bv_front_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {prints_the_golden_sheet,
                                every_number_is_the_rows,
                                an_interleaved_winding_has_its_own_order,
                                what_the_sheet_says_can_be_wound,
                                sections_without_columns_are_named,
                                every_sheet_has_its_cautions,
                                hostile_names_stay_texts,
                                near_rows_are_others_that_trade_differently,
                                first_and_last_cycles_are_told,
                                a_design_near_the_front_says_what_it_misses,
                                a_circuit_that_fails_is_told,
                                the_page_forbids_everything_but_its_style,
                                NULL};
  return check_main("sheet", tests);
}
