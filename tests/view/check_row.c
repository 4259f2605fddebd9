/* SPDX-License-Identifier: MIT */
#include "view/row.h"

#include "sample.h"
#include "temporary.h"

/* Struct by struct and not by memcmp: padding has no meaning. */
static void check_same_circuit(const bv_circuit *a, const bv_circuit *b) {
  for (size_t i = 0; i < bv_circuit_fields.count; i++) {
    const bv_field *field = &bv_circuit_fields.list[i];
    ck_assert_msg(bv_field_number(field, a) == bv_field_number(field, b),
                  "%s: %.17g, not %.17g", field->name,
                  bv_field_number(field, a), bv_field_number(field, b));
  }
}

static bv_row find(const bv_front *front, const char *id) {
  bv_row row;
  bv_error error;
  ck_assert_msg(bv_row_find(front, id, &row, &error) == BV_OK, "%s",
                error.text);
  return row;
}

static void check_circuits(const bv_front *front) {
  for (size_t i = 0; i < SAMPLE_ROWS; i++) {
    char id[8];
    snprintf(id, sizeof id, "%zu", i + 1);
    bv_row row = find(front, id);
    bv_circuit circuit;
    bv_buffer left_out = {0};
    bv_error error;
    bv_status status = bv_row_circuit(&row, &circuit, &left_out, &error);
    ck_assert_msg(status == BV_OK, "%s", error.text);
    ck_assert_msg(left_out.length == 0, "%s", left_out.text);
    bv_design design = sample_design(i);
    check_same_circuit(&circuit, &design.circuit);
  }
}

START_TEST(a_row_rebuilds_its_circuit_bit_for_bit) {
  bv_front front = sample_front();
  check_circuits(&front);
  bv_front_free(&front);
}
END_TEST

START_TEST(a_file_rebuilds_it_too_without_its_sidecar) {
  bv_front front = sample_front();
  bv_buffer csv = {0};
  bv_front_print_csv(&front, &csv);
  char *folder = temporary_make();
  char *path = temporary_write(folder, "front.csv", csv.text, csv.length);
  bv_front read;
  ck_assert_int_eq(bv_front_read(path, &read, NULL), BV_OK);
  check_circuits(&read);
  bv_front_free(&read);
  bv_front_free(&front);
  bv_buffer_free(&csv);
  temporary_remove(folder);
  free(path);
}
END_TEST

static void rename_column(bv_front *front, const char *from, const char *to) {
  size_t column = bv_front_find(front, from);
  ck_assert_uint_lt(column, front->columns);
  free(front->column[column].name);
  front->column[column].name = strdup(to);
}

START_TEST(a_column_left_out_is_told) {
  bv_front front = sample_front();
  rename_column(&front, "diode_drop", "of_no_use");
  rename_column(&front, "frequency_limit", "of_no_use_either");
  bv_row row = find(&front, "2");
  bv_circuit circuit;
  bv_buffer left_out = {0};
  ck_assert_int_eq(bv_row_circuit(&row, &circuit, &left_out, NULL), BV_OK);
  ck_assert_str_eq(left_out.text, "diode_drop_V, frequency_limit_Hz");
  ck_assert(circuit.diode_drop == 0 && isinf(circuit.max_frequency));
  bv_buffer_free(&left_out);
  bv_front_free(&front);
}
END_TEST

static void check_refused(bv_front *front, const char *part) {
  bv_row row = find(front, "1");
  bv_circuit circuit;
  bv_error error;
  ck_assert_int_eq(bv_row_circuit(&row, &circuit, NULL, &error), BV_BAD_DATA);
  ck_assert_msg(strstr(error.text, part) != NULL, "%s", error.text);
}

START_TEST(what_is_no_circuit_is_refused) {
  bv_front front = sample_front();
  size_t column = bv_front_find(&front, "rectifier");
  free(bv_front_value(&front, 0, column)->text);
  bv_front_value(&front, 0, column)->text = strdup("triple");
  check_refused(&front, ": rectifier");
  strcpy(bv_front_value(&front, 0, column)->text, "single");
  column = bv_front_find(&front, "turn_on_delay");
  bv_front_value(&front, 0, column)->number = -1e-9;
  check_refused(&front, ": turn_on_delay_s");
  bv_front_value(&front, 0, column)->number = 0;
  column = bv_front_find(&front, "start_voltage");
  bv_front_value(&front, 0, column)->number = 1501;
  check_refused(&front, "do not fit together");
  rename_column(&front, "turns_ratio_built", "turns_per_turn");
  rename_column(&front, "storage_capacitance", "capacitance");
  check_refused(&front, ": storage_capacitance_F, turns_ratio_built");
  bv_front_free(&front);
}
END_TEST

START_TEST(a_result_is_preferred_to_a_variable_of_its_name) {
  bv_front front = sample_front();
  rename_column(&front, "gate_voltage", "evaluated_peak_current");
  bv_row row = find(&front, "3");
  bv_design design = sample_design(2);
  ck_assert(bv_row_number(&row, "peak_current") == design.gate_voltage);
  ck_assert_str_eq(bv_row_column(&row, "peak_current")->name,
                   "evaluated_peak_current");
  bv_front_free(&front);
}
END_TEST

START_TEST(reads_numbers_and_texts) {
  bv_front front = sample_front();
  bv_row row = find(&front, "2");
  ck_assert(bv_row_number(&row, "target_voltage") == 1500);
  ck_assert(bv_row_number(&row, "target_voltage_V") == 1500);
  ck_assert(isnan(bv_row_number(&row, "material")));
  ck_assert(isnan(bv_row_number(&row, "nothing")));
  ck_assert_str_eq(bv_row_text(&row, "core"), "ETD34/17/11");
  ck_assert_ptr_null(bv_row_text(&row, "target_voltage"));
  ck_assert_ptr_null(bv_row_text(&row, "nothing"));
  ck_assert_ptr_null(bv_row_column(&row, "nothing"));
  bv_front_free(&front);
}
END_TEST

START_TEST(a_prefix_in_the_header_counts) {
  static const char csv[] = "row,storage_capacitance_uF,speed_furlong\n"
                            "1,33,2\n";
  char *folder = temporary_make();
  char *path = temporary_write(folder, "front.csv", csv, sizeof csv - 1);
  bv_front front;
  ck_assert_int_eq(bv_front_read(path, &front, NULL), BV_OK);
  bv_row row = find(&front, "1");
  ck_assert(bv_row_number(&row, "storage_capacitance") == 33e-6);
  ck_assert_str_eq(bv_row_unit(&row, "storage_capacitance"), "F");
  ck_assert(bv_row_number(&row, "speed_furlong") == 2);
  ck_assert_str_eq(bv_row_unit(&row, "speed_furlong"), "");
  bv_front_free(&front);
  temporary_remove(folder);
  free(path);
}
END_TEST

/* A word is a text: a number is none, least of all one that no int holds. */
START_TEST(a_number_is_no_word) {
  static const char csv[] = "row,rectifier\n1,1e300\n2,1\n";
  char *folder = temporary_make();
  char *path = temporary_write(folder, "front.csv", csv, sizeof csv - 1);
  bv_front front;
  ck_assert_int_eq(bv_front_read(path, &front, NULL), BV_OK);
  for (int i = 0; i < 2; i++) {
    bv_row row = find(&front, i ? "2" : "1");
    bv_circuit circuit;
    bv_error error;
    ck_assert_int_eq(bv_row_circuit(&row, &circuit, NULL, &error), BV_BAD_DATA);
    ck_assert_msg(strstr(error.text, "rectifier") != NULL, "%s", error.text);
  }
  bv_front_free(&front);
  temporary_remove(folder);
  free(path);
}
END_TEST

START_TEST(an_unknown_row_tells_which_there_are) {
  bv_front front = sample_front();
  bv_row row;
  bv_error error;
  ck_assert_int_eq(bv_row_find(&front, "17", &row, &error), BV_USAGE);
  ck_assert_str_eq(error.text, "no row '17' among 4 rows, 1 to 4");
  ck_assert_int_eq(bv_row_find(&front, "", &row, &error), BV_USAGE);
  ck_assert_int_eq(bv_row_find(&front, "two", &row, &error), BV_USAGE);
  ck_assert_int_eq(bv_row_find(&front, "nan", &row, &error), BV_USAGE);
  front.rows = 0;
  ck_assert_int_eq(bv_row_find(&front, "1", &row, &error), BV_USAGE);
  ck_assert_str_eq(error.text, "no row '1': the front is empty");
  front.rows = SAMPLE_ROWS;
  bv_front_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {a_row_rebuilds_its_circuit_bit_for_bit,
                                a_file_rebuilds_it_too_without_its_sidecar,
                                a_column_left_out_is_told,
                                what_is_no_circuit_is_refused,
                                a_result_is_preferred_to_a_variable_of_its_name,
                                reads_numbers_and_texts,
                                a_prefix_in_the_header_counts,
                                a_number_is_no_word,
                                an_unknown_row_tells_which_there_are,
                                NULL};
  return check_main("row", tests);
}
