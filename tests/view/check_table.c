/* SPDX-License-Identifier: MIT */
#include "view/table.h"

#include <cjson/cJSON.h>

#include "table/csvfile.h"
#include "temporary.h"
#include "view/compare.h"
#include "view/sample_front.h"

static bv_buffer print(const bv_front *front, bv_table_options options) {
  bv_buffer out = {0};
  bv_error error = {0};
  ck_assert_msg(bv_view_table(front, &options, &out, &error) == BV_OK, "%s",
                error.text);
  return out;
}

static void check_text(bv_table_options options, const char *expected) {
  bv_front front = sample_front();
  bv_buffer out = print(&front, options);
  ck_assert_str_eq(out.text, expected);
  bv_buffer_free(&out);
  bv_front_free(&front);
}

START_TEST(everything_fits_a_wide_terminal) {
  check_text(
      (bv_table_options){.width = 90},
      "        charge_   loss_               turns_    hot_spot_   core_     "
      "storage_\n"
      "   row     time  energy  core          ratio  temperature  volume  "
      "capacitance  note\n"
      "              s      mJ                              degC     cm3      "
      "     uF\n"
      "*    1    1.234    47.1  ETD34/17/11   12.00         85.3    7.64      "
      "   33.0  -\n"
      "     2    1.800    38.9  ETD29/16/10   30.50        104.1    5.47      "
      "   33.0  a|b\n"
      "*    3    0.951   120.3  E 32/16/9      9.25         99.5    6.14      "
      "   33.0  <i>\n"
      "     4    0.600   210.0  RM 14          7.00            -   13.90      "
      "   33.0  x, \"y\"\n"
      "\n"
      "4 of 4 rows. * knee (Das 1999).\n");
}
END_TEST

/* Knees are told though the rows that are shown are others. */
START_TEST(knees_that_are_not_shown_are_named) {
  static const double bent[] = {0, 10, 1, 5, 2, 1, 6, 0.5, 10, 0};
  static const double flat[] = {4, 16, 5, 14, 8, 10, 11, 5, 13, 2, 14, 0};
  static const double thrice[] = {0,  60, 1,  42, 3,  41, 10, 40, 11,
                                  22, 13, 21, 20, 20, 21, 2,  30, 0};
  static const struct {
    const double *curve;
    size_t points, best;
    const char *note;
  } rows[] = {
      {bent, 5, 5, "5 of 5 rows. * knee (Das 1999).\n"},
      {bent, 5, 2, "2 of 5 rows. * knee (Das 1999). Knee not shown: row 4.\n"},
      {flat, 6, 2, "2 of 6 rows. Knee (Das 1999) not shown: row 2.\n"},
      {thrice, 9, 1,
       "1 of 9 rows. * knee (Das 1999). Knees not shown: rows 2, 8.\n"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_front front = sample_objectives(rows[i].curve, rows[i].points, 2);
    bv_buffer out = print(&front, (bv_table_options){.best = rows[i].best});
    ck_assert_msg(strstr(out.text, rows[i].note), "%s", out.text);
    bv_buffer_free(&out);
    bv_front_free(&front);
  }
}
END_TEST

START_TEST(a_narrow_terminal_drops_the_last_columns_and_says_so) {
  check_text((bv_table_options){.width = 30, .best = 1},
             "        charge_   loss_\n"
             "   row     time  energy\n"
             "              s      mJ\n"
             "*    1     1.23    47.1\n"
             "\n"
             "1 of 4 rows. * knee (Das\n"
             "1999). Knee not shown: row 3.\n"
             "Left out to fit 30 columns:\n"
             "core, turns_ratio,\n"
             "hot_spot_temperature,\n"
             "core_volume,\n"
             "storage_capacitance, note.\n");
}
END_TEST

START_TEST(no_line_of_a_table_is_wider_than_the_terminal) {
  bv_front front = sample_front();
  for (size_t width = 30; width < 100; width++) {
    bv_buffer out = print(&front, (bv_table_options){.width = width});
    for (char *line = strtok(out.text, "\n"); line; line = strtok(NULL, "\n"))
      ck_assert_msg(strlen(line) <= width, "%zu: %s", width, line);
    bv_buffer_free(&out);
  }
  bv_front_free(&front);
}
END_TEST

START_TEST(markdown_cells_are_escaped) {
  const char *columns[] = {"row", "loss_energy", "core_volume_m3", "note"};
  check_text((bv_table_options){.format = BV_TABLE_MARKDOWN,
                                .columns = columns,
                                .column_count = 4,
                                .sort = "loss_energy_J",
                                .descending = true},
             "| row | loss\\_energy in mJ | core\\_volume in cm3 | note |\n"
             "|---:|---:|---:|---|\n"
             "| 4 | 210.0 | 13.90 | x, \"y\" |\n"
             "| 3 | 120.3 | 6.14 | \\<i\\> |\n"
             "| 1 | 47.1 | 7.64 | - |\n"
             "| 2 | 38.9 | 5.47 | a\\|b |\n");
}
END_TEST

START_TEST(csv_has_all_digits_and_reads_back) {
  const char *columns[] = {"note", "core_volume", "hot_spot_temperature"};
  bv_table_options options = {
      .format = BV_TABLE_CSV, .columns = columns, .column_count = 3};
  check_text(options, "note,core_volume_m3,hot_spot_temperature_degC\n"
                      "\"\",7.64e-06,85.26\n"
                      "a|b,5.47e-06,104.1\n"
                      "<i>,6.14e-06,99.5\n"
                      "\"x, \"\"y\"\"\",1.39e-05,\n");
}
END_TEST

START_TEST(json_parses_to_the_same_values) {
  bv_front front = sample_front();
  bv_buffer out = print(&front, (bv_table_options){.format = BV_TABLE_JSON});
  cJSON *list = cJSON_Parse(out.text);
  ck_assert_int_eq(cJSON_GetArraySize(list), 4);
  const cJSON *row = cJSON_GetArrayItem(list, 2);
  ck_assert_int_eq(cJSON_GetArraySize(row), 9);
  ck_assert(cJSON_GetObjectItem(row, "core_volume_m3")->valuedouble == 6.14e-6);
  ck_assert_str_eq(cJSON_GetObjectItem(row, "note")->valuestring, "<i>");
  row = cJSON_GetArrayItem(list, 3);
  ck_assert(
      cJSON_IsNull(cJSON_GetObjectItem(row, "hot_spot_temperature_degC")));
  ck_assert_ptr_null(strchr(out.text, '<'));
  cJSON_Delete(list);
  bv_buffer_free(&out);
  bv_front_free(&front);
}
END_TEST

/* The order of the ids in a table of one column. */
static void check_order(bv_table_options options, const char *expected) {
  const char *columns[] = {"row"};
  options.columns = columns;
  options.column_count = 1;
  options.format = BV_TABLE_CSV;
  bv_front front = sample_front();
  bv_buffer out = print(&front, options);
  ck_assert_str_eq(out.text, expected);
  bv_buffer_free(&out);
  bv_front_free(&front);
}

START_TEST(rows_sort_with_empty_cells_last) {
  check_order((bv_table_options){.sort = "charge_time"}, "row\n4\n3\n1\n2\n");
  check_order((bv_table_options){.sort = "hot_spot_temperature"},
              "row\n1\n3\n2\n4\n");
  check_order(
      (bv_table_options){.sort = "hot_spot_temperature", .descending = true},
      "row\n2\n3\n1\n4\n");
  check_order((bv_table_options){.sort = "core"}, "row\n3\n2\n1\n4\n");
  check_order((bv_table_options){.sort = "note"}, "row\n3\n2\n4\n1\n");
  check_order(
      (bv_table_options){.sort = "storage_capacitance", .descending = true},
      "row\n1\n2\n3\n4\n");
}
END_TEST

static bv_status keep_fast(void *context, const bv_front *front, size_t row,
                           bool *kept, bv_error *error) {
  const double *most = context;
  if (*most < 0)
    return bv_fail(error, BV_BAD_DATA, "row %zu: negative", row);
  *kept =
      bv_front_value(front, row, bv_front_find(front, "charge_time"))->number <
      *most;
  return BV_OK;
}

START_TEST(the_filter_keeps_rows_and_may_fail) {
  double most = 1.5;
  bv_table_options options = {.keep = keep_fast, .keep_context = &most};
  check_order(options, "row\n1\n3\n4\n");
  most = 0;
  options.columns = (const char *[]){"row", "charge_time"};
  options.column_count = 2;
  check_text(options, "        charge_\n   row     time\n              s\n\n"
                      "0 of 4 rows, 0 kept.\n");
  most = -1;
  bv_front front = sample_front();
  bv_buffer out = {0};
  bv_error error = {0};
  ck_assert_int_eq(bv_view_table(&front, &options, &out, &error), BV_BAD_DATA);
  ck_assert_str_eq(error.text, "row 0: negative");
  ck_assert_ptr_null(out.text);
  bv_front_free(&front);
}
END_TEST

START_TEST(unknown_names_are_told_with_the_nearest) {
  const char *columns[] = {"charge_tmie"};
  bv_table_options cases[] = {{.columns = columns, .column_count = 1},
                              {.sort = "charge_tmie"}};
  bv_front front = sample_front();
  for (size_t i = 0; i < 2; i++) {
    bv_buffer out = {0};
    bv_error error = {0};
    ck_assert_int_eq(bv_view_table(&front, &cases[i], &out, &error), BV_USAGE);
    ck_assert_str_eq(error.text, "expected a column of the front, found "
                                 "'charge_tmie'; did you mean charge_time?");
  }
  bv_front_free(&front);
}
END_TEST

START_TEST(control_characters_do_not_reach_the_terminal) {
  bv_front front = sample_front();
  free(bv_front_value(&front, 0, 1)->text);
  bv_front_value(&front, 0, 1)->text = strdup("a\033[2J\n\xc2\x9b"
                                              "b\xff");
  const char *columns[] = {"core"};
  bv_buffer out =
      print(&front, (bv_table_options){.columns = columns, .column_count = 1});
  ck_assert_ptr_nonnull(strstr(out.text, "*  a?[2J??b?\n"));
  bv_buffer_free(&out);
  bv_front_free(&front);
}
END_TEST

/* Wide spans keep their digits; prefixes suit the largest cell. */
START_TEST(digits_and_prefixes_suit_the_column) {
  static const struct {
    const char *unit;
    double values[2];
    const char *text;
  } rows[] = {
      {"s", {1.234e-3, 0.98e-3}, "ms 1.234 0.980"},
      {"F", {47e-6, 4.7e-6}, "uF 47.00 4.70"},
      {"m2", {97.1e-6, 368e-6}, "mm2 97.1 368.0"},
      {"m3", {7.64e-6, 51.5e-6}, "cm3 7.64 51.50"},
      {"V", {1500, 960}, "kV 1.500 0.960"},
      {"", {12, 7}, " 12 7"},
      {"", {0.9123, 0.8}, " 0.912 0.800"},
      {"", {7.64e-6, 51.5e-6}, " 7.64e-06 5.15e-05"},
      {"1/s", {2.5e-4, 4e-3}, "1/s 0.000250 0.004000"},
      {"V", {1e308, -2e307}, "TV 1.00e+296 -2.00e+295"},
      {"1/s", {3e9, 5e9}, "1/s 3.00e+09 5.00e+09"},
      {"J", {1e-6, 1}, "J 1.00e-06 1.00"},
      {"degC", {104.1, 85.26}, "degC 104.1 85.3"},
      {"K/W", {0, 0}, "K/W 0 0"},
      {"A2 s", {0.5, -2}, "A2 s 0.500 -2.000"},
      {"ms", {1500, 20}, "s 1.5000 0.0200"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_front front;
    ck_assert_int_eq(bv_front_make(&front, 1, 2, NULL), BV_OK);
    sample_column(&front, 0, "x", rows[i].unit, BV_ROLE_RESULT);
    front.values[0].number = rows[i].values[0];
    front.values[1].number = rows[i].values[1];
    bv_buffer out = print(&front, (bv_table_options){0});
    char unit[16] = "", first[32], second[32], text[96];
    const char *line = strchr(out.text, '\n') + 1;
    if (*rows[i].unit) {
      ck_assert_int_eq(sscanf(line, " %15[^\n]", unit), 1);
      line = strchr(line, '\n') + 1;
    }
    ck_assert_int_eq(sscanf(line, "%31s %31s", first, second), 2);
    snprintf(text, sizeof text, "%s %s %s", unit, first, second);
    ck_assert_str_eq(text, rows[i].text);
    bv_buffer_free(&out);
    bv_front_free(&front);
  }
}
END_TEST

START_TEST(comparison_puts_what_differs_first) {
  static const size_t rows[] = {0, 1, 3};
  bv_front front = sample_front();
  bv_buffer out = {0};
  ck_assert_int_eq(
      bv_view_compare(&front, (bv_picked){rows, 3}, 80, &out, NULL), BV_OK);
  ck_assert_str_eq(
      out.text,
      "row                                   1            2       4  spread\n"
      "charge_time           s           1.234        1.800   0.600  66.7 %\n"
      "loss_energy           mJ           47.1         38.9   210.0  81.5 %\n"
      "core                        ETD34/17/11  ETD29/16/10   RM 14\n"
      "note                                  -          a|b  x, \"y\"\n"
      "hot_spot_temperature  degC         85.3        104.1       -   100 %\n"
      "turns_ratio                       12.00        30.50    7.00    77 %\n"
      "core_volume           cm3          7.64         5.47   13.90  60.6 %\n"
      "\n"
      "The same in all:\n"
      "storage_capacitance   uF    33.0\n");
  bv_buffer_free(&out);
  bv_front_free(&front);
}
END_TEST

START_TEST(comparison_folds_into_blocks_of_rows) {
  static const size_t rows[] = {0, 1, 3};
  bv_front front = sample_front();
  bv_buffer out = {0}, narrow = {0};
  ck_assert_int_eq(
      bv_view_compare(&front, (bv_picked){rows, 3}, 60, &out, NULL), BV_OK);
  ck_assert_str_eq(
      out.text, "row                                   1            2  spread\n"
                "charge_time           s           1.234        1.800  66.7 %\n"
                "loss_energy           mJ           47.1         38.9  81.5 %\n"
                "core                        ETD34/17/11  ETD29/16/10\n"
                "note                                  -          a|b\n"
                "hot_spot_temperature  degC         85.3        104.1   100 %\n"
                "turns_ratio                       12.00        30.50    77 %\n"
                "core_volume           cm3          7.64         5.47  60.6 %\n"
                "\n"
                "row                              4  spread\n"
                "charge_time           s      0.600  66.7 %\n"
                "loss_energy           mJ     210.0  81.5 %\n"
                "core                         RM 14\n"
                "note                        x, \"y\"\n"
                "hot_spot_temperature  degC       -   100 %\n"
                "turns_ratio                   7.00    77 %\n"
                "core_volume           cm3    13.90  60.6 %\n"
                "\n"
                "The same in all:\n"
                "storage_capacitance   uF    33.0\n");
  /* A letter less than two rows take; too narrow for any. */
  static const struct { size_t width, blocks; } cases[] = {{59, 2}, {1, 3}};
  for (size_t i = 0; i < 2; i++) {
    size_t blocks = 0;
    narrow.length = 0;
    ck_assert_int_eq(bv_view_compare(&front, (bv_picked){rows, 3},
                                     cases[i].width, &narrow, NULL),
                     BV_OK);
    ck_assert_ptr_nonnull(strstr(narrow.text, "1  spread\n"));
    for (const char *at = narrow.text; (at = strstr(at, "row  ")); at++)
      blocks++;
    ck_assert_uint_eq(blocks, cases[i].blocks);
  }
  bv_buffer_free(&out);
  bv_buffer_free(&narrow);
  bv_front_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      everything_fits_a_wide_terminal,
      knees_that_are_not_shown_are_named,
      a_narrow_terminal_drops_the_last_columns_and_says_so,
      no_line_of_a_table_is_wider_than_the_terminal,
      markdown_cells_are_escaped,
      csv_has_all_digits_and_reads_back,
      json_parses_to_the_same_values,
      rows_sort_with_empty_cells_last,
      the_filter_keeps_rows_and_may_fail,
      unknown_names_are_told_with_the_nearest,
      control_characters_do_not_reach_the_terminal,
      digits_and_prefixes_suit_the_column,
      comparison_puts_what_differs_first,
      comparison_folds_into_blocks_of_rows,
      NULL};
  return check_main("view/table", tests);
}
