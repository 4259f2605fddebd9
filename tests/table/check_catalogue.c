/* SPDX-License-Identifier: MIT */
#include "table/catalogue.h"

#include "base/text.h"

#include "check_main.h"
#include "temporary.h"

typedef struct part {
  char name[BV_TEXT_SIZE];
  double area, turns, mass;
  int kind;
  bool cooled;
  char provenance[BV_TEXT_SIZE];
} part;

static const char *const kinds[] = {"ring", "pot", NULL};

#define NEEDED ((double) NAN)
static const bv_field list[] = {
    {"name", "", "name of the part", BV_TEXT, offsetof(part, name), -HUGE_VAL,
     HUGE_VAL, NEEDED, NULL},
    {"area", "m2", "area", BV_NUMBER, offsetof(part, area), 1e-9, 1, NEEDED,
     NULL},
    {"turns", "", "turns", BV_WHOLE, offsetof(part, turns), 1, 100, 7, NULL},
    {"mass", "kg", "mass", BV_NUMBER, offsetof(part, mass), 0, HUGE_VAL, 0,
     NULL},
    {"kind", "", "kind", BV_WORD, offsetof(part, kind), 0, 1, 1, kinds},
    {"cooled", "", "cooled", BV_FLAG, offsetof(part, cooled), 0, 1, 0, NULL},
    {"provenance", "", "source", BV_TEXT, offsetof(part, provenance), -HUGE_VAL,
     HUGE_VAL, NEEDED, NULL},
};
static const bv_fields fields = {list, sizeof list / sizeof *list};

static bv_status read_text(const char *text, bv_rows *rows, bv_error *error) {
  char *folder = temporary_make();
  char *path = temporary_write(folder, "p.csv", text, strlen(text));
  bv_status status = bv_catalogue_read(path, fields, sizeof(part), rows, error);
  free(path);
  temporary_remove(folder);
  return status;
}

START_TEST(rows_fill_structs) {
  bv_rows rows;
  bv_error error = {0};
  ck_assert_msg(
      read_text(
          "name,area_mm2,turns,mass_g,kind,cooled,provenance\n"
          "R 10,7.83,3,1.5,ring,1,memory\n"
          "P 14,25.1,,,,,"
          "\"provenance that is longer than a text fiel\xe2\x88\x9e\xe2\x88"
          "\x9e\xe2\x88\x9e has room\"\n",
          &rows, &error) == BV_OK,
      "%s", error.text);
  ck_assert_uint_eq(rows.count, 2);
  const part *parts = rows.data;
  ck_assert_str_eq(parts[0].name, "R 10");
  ck_assert(parts[0].area == 7.83e-6 && parts[0].mass == 1.5e-3);
  ck_assert(parts[0].turns == 3 && parts[0].kind == 0 && parts[0].cooled);
  ck_assert(parts[1].turns == 7 && parts[1].kind == 1 && !parts[1].cooled);
  ck_assert_str_eq(parts[1].provenance,
                   "provenance that is longer than a text fiel\xe2\x88\x9e");
  bv_catalogue_free(&rows);
}
END_TEST

START_TEST(a_header_alone_has_no_rows) {
  bv_rows rows;
  ck_assert_int_eq(read_text("name,area_m2,provenance\n", &rows, NULL), BV_OK);
  ck_assert_uint_eq(rows.count, 0);
  bv_catalogue_free(&rows);
}
END_TEST

#define HEAD "name,area_mm2,turns,kind,cooled,provenance\n"

START_TEST(bad_data_is_told_by_line_and_column) {
  static const struct {
    const char *file, *text;
  } rows[] = {
      {"name,are_mm2,provenance\n",
       "p.csv:1: header, column are_mm2: expected a known column; did you mean "
       "area_m2?"},
      {"name,area,provenance\n",
       "p.csv:1: header, column area: expected a known "
       "column; did you mean area_m2?"},
      {"name,area_acre,provenance\n",
       "p.csv:1: header, column area_acre: expected a known column; did you "
       "mean area_m2?"},
      {"name,area_m2,provenance,price\n",
       "p.csv:1: header, column price: expected a known column"},
      {"name,area_m2,area_mm2,provenance\n",
       "p.csv:1: header, column area_mm2: expected one column of area, found "
       "another: area_m2"},
      {"name,provenance\n", "p.csv:1: expected a column area_m2, found none"},
      {HEAD "x,1.2.3,,,,m\n",
       "p.csv:2: row 1, column area_mm2: expected a number, found '1.2.3'"},
      {HEAD "x,nan,,,,m\n",
       "p.csv:2: row 1, column area_mm2: expected a number, found 'nan'"},
      {HEAD "x,1,,,,m\ny,2e6,,,,m\n",
       "p.csv:3: row 2, column area_mm2: expected 1e-09 … 1 m2, found 2"},
      {HEAD "x,1e999,,,,m\n",
       "p.csv:2: row 1, column area_mm2: expected 1e-09 … 1 m2, found inf"},
      {HEAD "x,,,,,m\n",
       "p.csv:2: row 1, column area_mm2: expected area, found nothing"},
      {HEAD ",1,,,,m\n", "p.csv:2: row 1, column name: expected name of the "
                         "part, found nothing"},
      {HEAD "x,1,2.5,,,m\n",
       "p.csv:2: row 1, column turns: expected a whole number, found '2.5'"},
      {HEAD "x,1,,egg,,m\n",
       "p.csv:2: row 1, column kind: expected one of ring, pot, found 'egg'"},
      {HEAD "x,1,,,yes,m\n",
       "p.csv:2: row 1, column cooled: expected a number, found 'yes'"},
      {HEAD "=x,1,,,,m\n", "p.csv:2: row 1, column name: expected a text that "
                           "is no formula, found '=x'"},
      {HEAD "x,1,,,,m\ny,1,,,,m\nx,1,,,,m\n",
       "p.csv:4: row 3, column name: expected a name of its own, found 'x' of "
       "line 2 again"},
      {HEAD "x123456789x123456789x123456789x123456789x1234567,1,,,,m\n",
       "p.csv:2: row 1, column name: expected at most 47 bytes, found 48"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_rows read;
    bv_error error = {0};
    ck_assert_int_eq(read_text(rows[i].file, &read, &error), BV_BAD_DATA);
    ck_assert_str_eq(strstr(error.text, "p.csv"), rows[i].text);
    ck_assert_ptr_null(read.data);
  }
}
END_TEST

START_TEST(too_many_rows_are_refused) {
  bv_buffer file = {0};
  bv_buffer_print(&file, "name,area_m2,provenance\n");
  for (int i = 0; i <= BV_CATALOGUE_MOST; i++)
    bv_buffer_print(&file, "p%d,1,m\n", i);
  bv_rows rows;
  bv_error error = {0};
  ck_assert_int_eq(read_text(file.text, &rows, &error), BV_BAD_DATA);
  ck_assert_ptr_nonnull(
      strstr(error.text, "expected at most 100000 rows, found 100001"));
  bv_buffer_free(&file);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {rows_fill_structs, a_header_alone_has_no_rows,
                                bad_data_is_told_by_line_and_column,
                                too_many_rows_are_refused, NULL};
  return check_main("table/catalogue", tests);
}
