/* SPDX-License-Identifier: MIT */
#include "table/front.h"

#include "base/file.h"
#include "check_main.h"
#include "temporary.h"

static void name_column(bv_front *front, size_t index, const char *name,
                        const char *unit, bv_role role) {
  front->column[index].name = strdup(name);
  front->column[index].unit = strdup(unit);
  front->column[index].role = role;
}

/* Every kind of column, awkward numbers and texts. */
static bv_front sample(void) {
  bv_front front;
  ck_assert_int_eq(bv_front_make(&front, 6, 4, NULL), BV_OK);
  name_column(&front, 0, "row", "", BV_ROLE_ID);
  name_column(&front, 1, "core", "", BV_ROLE_VARIABLE);
  name_column(&front, 2, "charge_time", "s", BV_ROLE_MINIMISE);
  name_column(&front, 3, "current_squared", "A2 s", BV_ROLE_RESULT);
  name_column(&front, 4, "turns_ratio", "", BV_ROLE_VARIABLE);
  name_column(&front, 5, "efficiency", "", BV_ROLE_MAXIMISE);
  front.column[1].is_text = true;
  front.column[2].meaning = strdup("time to the target, \"shot to shot\"");
  front.column[2].limit_max = 1.8;
  front.column[5].limit_min = 0.1 + 0.2;
  front.column[5].limit_max = 0.95;
  static const char *const cores[] = {"ETD34/17/11", "a, \"b\"", NULL,
                                      "\xc2\xb5\n=1+1"};
  static const double numbers[][4] = {
      {1.0 / 3, 5e-324, 0.1 + 0.2, 1},
      {1e308 * 1.7, -0.0, HUGE_VAL, 0},
      {(double) NAN, -HUGE_VAL, 1e15 + 0.5, 0x1p53 + 2},
      {0, 1e-9, 2.5, 0.87}};
  for (size_t r = 0; r < 4; r++) {
    bv_front_value(&front, r, 0)->number = (double) r + 1;
    bv_front_value(&front, r, 1)->text = cores[r] ? strdup(cores[r]) : NULL;
    for (size_t c = 0; c < 4; c++)
      bv_front_value(&front, r, c + 2)->number = numbers[r][c];
  }
  front.origin = (bv_origin){.title = strdup("Harbour <beacon> \xe2\x80\x94 1"),
                             .study = strdup("harbour.lua"),
                             .version = strdup("0.1.0"),
                             .digest = strdup("00ff"),
                             .stop = strdup("stagnation"),
                             .seed = 0xffffffffffffffff,
                             .evaluations = 123456789,
                             .hypervolume = 0.1 + 0.7,
                             .is_estimate = true,
                             .reference_count = 2,
                             .reference = {1.0 / 7, -0.3}};
  return front;
}

static bool same_text(const char *a, const char *b) {
  return (!a || !*a) ? (!b || !*b) : b && strcmp(a, b) == 0;
}

static bool same_number(double a, double b) {
  return isnan(a) ? isnan(b) : a == b && signbit(a) == signbit(b);
}

static void check_same(const bv_front *a, const bv_front *b) {
  ck_assert_uint_eq(a->columns, b->columns);
  ck_assert_uint_eq(a->rows, b->rows);
  for (size_t c = 0; c < a->columns; c++) {
    const bv_column *x = &a->column[c], *y = &b->column[c];
    ck_assert(same_text(x->name, y->name) && same_text(x->unit, y->unit));
    ck_assert(same_text(x->meaning, y->meaning) && x->role == y->role);
    ck_assert(x->is_text == y->is_text && x->limit_min == y->limit_min &&
              x->limit_max == y->limit_max);
  }
  for (size_t i = 0; i < a->columns * a->rows; i++)
    ck_assert(same_text(a->values[i].text, b->values[i].text) &&
              same_number(a->values[i].number, b->values[i].number));
  const bv_origin *x = &a->origin, *y = &b->origin;
  ck_assert(same_text(x->title, y->title) && same_text(x->study, y->study));
  ck_assert(same_text(x->version, y->version));
  ck_assert(same_text(x->digest, y->digest) && same_text(x->stop, y->stop));
  ck_assert(x->seed == y->seed && x->evaluations == y->evaluations);
  ck_assert(same_number(x->hypervolume, y->hypervolume));
  ck_assert(x->is_estimate == y->is_estimate);
  ck_assert_uint_eq(x->reference_count, y->reference_count);
  for (size_t i = 0; i < x->reference_count; i++)
    ck_assert(same_number(x->reference[i], y->reference[i]));
}

START_TEST(the_round_trip_is_exact) {
  char *folder = temporary_make();
  char *path = temporary_path(folder, "f.csv");
  bv_front front = sample(), back;
  bv_error error = {0};
  ck_assert_int_eq(bv_front_write(&front, NULL, path, &error), BV_OK);
  ck_assert_msg(bv_front_read(path, &back, &error) == BV_OK, "%s", error.text);
  check_same(&front, &back);
  bv_front_free(&front);
  bv_front_free(&back);
  free(path);
  temporary_remove(folder);
}
END_TEST

START_TEST(the_file_is_as_the_contract_says) {
  bv_front front = sample();
  bv_buffer csv = {0};
  bv_front_print_csv(&front, &csv);
  ck_assert_str_eq(
      csv.text,
      "row,core,charge_time_s,current_squared_A2s,turns_ratio,efficiency\n"
      "1,ETD34/17/11,0.3333333333333333,4.94065645841247e-324,"
      "0.30000000000000004,1\n"
      "2,\"a, \"\"b\"\"\",1.7e+308,-0,INF,0\n"
      "3,,,-INF,1000000000000000.5,9007199254740994\n"
      "4,\"\xc2\xb5\n=1+1\",0,1e-09,2.5,0.87\n");
  bv_buffer_free(&csv);
  bv_front_free(&front);
}
END_TEST

START_TEST(without_a_sidecar_the_header_tells) {
  static const char text[] = "row,core,charge_time_ms,turns_ratio,loss_energy_J"
                             "\n1,ETD34,2.5,8,\n2,7,3,9,0.5\n";
  char *folder = temporary_make();
  char *path = temporary_write(folder, "f.csv", text, sizeof text - 1);
  bv_front front;
  ck_assert_int_eq(bv_front_read(path, &front, NULL), BV_OK);
  ck_assert_int_eq(front.column[0].role, BV_ROLE_ID);
  ck_assert(front.column[1].is_text && !front.column[2].is_text);
  ck_assert_str_eq(front.column[2].name, "charge_time");
  ck_assert_str_eq(front.column[2].unit, "ms");
  ck_assert_str_eq(front.column[3].name, "turns_ratio");
  ck_assert_str_eq(front.column[4].unit, "J");
  ck_assert(isnan(bv_front_value(&front, 0, 4)->number));
  ck_assert_str_eq(bv_front_value(&front, 1, 1)->text, "7");
  ck_assert_uint_eq(bv_front_find(&front, "charge_time"), 2);
  ck_assert_uint_eq(bv_front_find(&front, "charge_time_ms"), 2);
  ck_assert_uint_eq(bv_front_find(&front, "charge"), 5);
  bv_front_free(&front);
  free(path);
  temporary_remove(folder);
}
END_TEST

/* A sidecar stays good for the columns that an edited file still has. */
START_TEST(columns_are_matched_by_name) {
  char *folder = temporary_make();
  char *path = temporary_path(folder, "f.csv");
  bv_front front = sample();
  ck_assert_int_eq(bv_front_write(&front, NULL, path, NULL), BV_OK);
  bv_front_free(&front);
  static const char text[] = "efficiency,own_V,charge_time_s\n0.8,5,1\n";
  ck_assert_int_eq(bv_file_replace(path, text, sizeof text - 1, NULL), BV_OK);
  ck_assert_int_eq(bv_front_read(path, &front, NULL), BV_OK);
  ck_assert_int_eq(front.column[0].role, BV_ROLE_MAXIMISE);
  ck_assert_int_eq(front.column[1].role, BV_ROLE_RESULT);
  ck_assert_str_eq(front.column[1].unit, "V");
  ck_assert(front.column[2].limit_max == 1.8);
  bv_front_free(&front);
  free(path);
  temporary_remove(folder);
}
END_TEST

#define FIELD(rest) "{\"fields\":[{\"name\":\"a_s\"," rest "}]}"

START_TEST(bad_sidecars_are_told) {
  static const struct {
    const char *json, *text;
  } rows[] = {
      {"", "byte 1: expected JSON, found ''"},
      {"{\"fields\":[}", "byte 12: expected JSON, found '}'"},
      {"{}", "expected a Table Schema with a list 'fields'"},
      {"[]", "expected a Table Schema with a list 'fields'"},
      {"{\"fields\":[3]}", "field 1: expected a name, found none"},
      {"{\"fields\":[{\"title\":\"\xff\"}]}", "byte 22: expected UTF-8"},
      {FIELD("\"title\":\"a\",\"role\":\"king\""),
       "field 1: expected a role such as result or minimise, found 'king'"},
      {FIELD("\"title\":\"b\",\"unit\":\"s\""),
       "field 1: expected a title and a unit that make 'a_s', found 'b' and "
       "'s'"},
      {"{\"fields\":[],\"origin\":{\"seed\":\"-1\"}}",
       "seed: expected a whole number as a text, found '-1'"},
      {"{\"fields\":[],\"origin\":{\"evaluations\":-3}}",
       "evaluations: expected 0 … 2^53, found -3"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    char *folder = temporary_make();
    char *path = temporary_write(folder, "f.csv", "a_s\n1\n", 6);
    free(temporary_write(folder, "f.schema.json", rows[i].json,
                         strlen(rows[i].json)));
    bv_front front;
    bv_error error = {0};
    ck_assert_int_eq(bv_front_read(path, &front, &error), BV_BAD_DATA);
    const char *tail = strstr(error.text, "f.schema.json: ");
    ck_assert_msg(tail && strcmp(tail + 15, rows[i].text) == 0, "%s",
                  error.text);
    free(path);
    temporary_remove(folder);
  }
}
END_TEST

START_TEST(deep_json_ends_in_an_error) {
  size_t length = 1 << 20;
  char *json = malloc(length);
  memset(json, '[', length);
  char *folder = temporary_make();
  char *path = temporary_write(folder, "f.csv", "a_s\n1\n", 6);
  free(temporary_write(folder, "f.schema.json", json, length));
  bv_front front;
  bv_error error = {0};
  ck_assert_int_eq(bv_front_read(path, &front, &error), BV_BAD_DATA);
  free(json);
  free(path);
  temporary_remove(folder);
}
END_TEST

START_TEST(a_text_where_the_sidecar_says_number_is_told) {
  static const char json[] = FIELD("\"title\":\"a\",\"unit\":\"s\"");
  char *folder = temporary_make();
  char *path = temporary_write(folder, "f.csv", "a_s\n1\n=1+1\n", 11);
  free(temporary_write(folder, "f.schema.json", json, sizeof json - 1));
  bv_front front;
  bv_error error = {0};
  ck_assert_int_eq(bv_front_read(path, &front, &error), BV_BAD_DATA);
  ck_assert_str_eq(strstr(error.text, "f.csv"),
                   "f.csv:3: row 2, column a_s: expected a number, found "
                   "'=1+1'");
  free(path);
  temporary_remove(folder);
}
END_TEST

START_TEST(a_failed_write_leaves_the_old_file) {
  char *folder = temporary_make();
  char *path = temporary_write(folder, "f.csv", "old\n", 4);
  free(temporary_write(folder, "in_the_way", "", 0));
  char *below = temporary_path(folder, "in_the_way/f.csv");
  bv_front front = sample();
  bv_error error = {0};
  ck_assert_int_eq(bv_front_write(&front, NULL, below, &error),
                   BV_CANNOT_CREATE);
  bv_buffer old;
  ck_assert_int_eq(bv_file_read(path, 100, &old, NULL), BV_OK);
  ck_assert_str_eq(old.text, "old\n");
  bv_buffer_free(&old);
  bv_front_free(&front);
  free(below);
  free(path);
  temporary_remove(folder);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {the_round_trip_is_exact,
                                the_file_is_as_the_contract_says,
                                without_a_sidecar_the_header_tells,
                                columns_are_matched_by_name,
                                bad_sidecars_are_told,
                                deep_json_ends_in_an_error,
                                a_text_where_the_sidecar_says_number_is_told,
                                a_failed_write_leaves_the_old_file,
                                NULL};
  return check_main("table/front", tests);
}
