/* SPDX-License-Identifier: MIT */
#include "table/csvfile.h"

#include "check_main.h"
#include "temporary.h"

static char *folder;

static bv_status read_bytes(const char *bytes, size_t length, bv_csv *csv,
                            bv_error *error) {
  folder = temporary_make();
  char *path = temporary_write(folder, "a.csv", bytes, length);
  bv_status status = bv_csv_read(path, csv, error);
  csv->path = NULL;
  free(path);
  temporary_remove(folder);
  return status;
}

static bv_status read_text(const char *text, bv_csv *csv, bv_error *error) {
  return read_bytes(text, strlen(text), csv, error);
}

/* The examples of RFC 4180, section 2, rules 1 to 7. */
START_TEST(rules_of_rfc_4180) {
  static const char *const texts[] = {
      "a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
      "a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx",
      "a,b,c\n\"aaa\",\"bbb\",\"ccc\"\nzzz,yyy,xxx\n",
      "\xef\xbb\xbf\x61,b,c\naaa,bbb,ccc\nzzz,yyy,xxx\n",
      "\n\na,b,c\n\naaa,bbb,ccc\r\n\r\nzzz,yyy,xxx\n\n"};
  static const char *const cells[] = {"a",   "b",   "c",   "aaa", "bbb",
                                      "ccc", "zzz", "yyy", "xxx"};
  for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
    bv_csv csv;
    ck_assert_int_eq(read_text(texts[i], &csv, NULL), BV_OK);
    ck_assert_uint_eq(csv.rows, 3);
    ck_assert_uint_eq(csv.columns, 3);
    for (size_t k = 0; k < 9; k++)
      ck_assert_str_eq(bv_csv_cell(&csv, k / 3, k % 3), cells[k]);
    bv_csv_free(&csv);
  }
}
END_TEST

START_TEST(quoted_cells_hold_anything) {
  bv_csv csv;
  ck_assert_int_eq(
      read_text("a,b\n\"x\n\n\"\"y\"\", z\", w \n3,=1+1\n", &csv, NULL), BV_OK);
  ck_assert_str_eq(bv_csv_cell(&csv, 1, 0), "x\n\n\"y\", z");
  ck_assert_str_eq(bv_csv_cell(&csv, 1, 1), " w ");
  ck_assert_str_eq(bv_csv_cell(&csv, 2, 1), "=1+1");
  ck_assert_uint_eq(csv.lines[1], 2);
  ck_assert_uint_eq(csv.lines[2], 5);
  bv_csv_free(&csv);
}
END_TEST

START_TEST(hostile_bytes_are_told_by_line) {
  static const struct {
    const char *bytes;
    size_t length; /* 0: strlen */
    const char *text;
  } rows[] = {
      {"", 0, "a.csv: expected a header row, found nothing"},
      {"\n\n\r\n", 0, "a.csv: expected a header row, found nothing"},
      {"\xef\xbb\xbf", 0, "a.csv: expected a header row, found nothing"},
      {"a,b\n1,2\n3\n", 0, "a.csv:3: row 2: expected 2 cells, found 1"},
      {"a,b\n1,2,3\n", 0, "a.csv:2: row 1: expected 2 cells, found 3"},
      {"a,b\n\"1\n\n\",2\n,,\n", 0,
       "a.csv:5: row 2: expected 2 cells, found 3"},
      {"row;a_V\n1;2,5\n", 0,
       "a.csv:1: header: expected commas between cells, found semicolons"},
      {"row\ta_V\n1\t2.5\n", 0,
       "a.csv:1: header: expected commas between cells, found tabs"},
      {"a,\n1,2\n", 0, "a.csv:1: column 2: expected a name, found nothing"},
      {"a,b,a\n", 0,
       "a.csv:1: columns 1 and 3: expected different names, found 'a' twice"},
      {"a\n\"x\ny\n", 0,
       "a.csv:2: row 1, column 1: expected a cell as RFC "
       "4180 has it, found a stray or unterminated quote"},
      {"a,b\n1,x\"y\n", 0,
       "a.csv:2: row 1, column 2: expected a cell as RFC "
       "4180 has it, found a stray or unterminated quote"},
      {"a\n1\0\n", 5, "a.csv:2: expected text, found control character 0x00"},
      {"a\n\n\033[2J\n", 0,
       "a.csv:3: expected text, found control character 0x1b"},
      {"a\n\xc2\x9b\n", 0,
       "a.csv:2: expected text, found control character 0x9b"},
      {"\xef\xbb\xbf\xef\xbb\xbfz\n", 0,
       "a.csv:1: expected text, found control character 0xfeff"},
      {"a\n\xff\n", 0, "a.csv:2: expected UTF-8, found byte 0xff"},
      {"a\n\xc0\x80\n", 0, "a.csv:2: expected UTF-8, found byte 0xc0"},
      {"a\n\xed\xa0\x80\n", 0, "a.csv:2: expected UTF-8, found byte 0xed"},
      {"a\n\xf4\x90\x80\x80\n", 0, "a.csv:2: expected UTF-8, found byte 0xf4"},
      {"a\nx\xe2\x82", 0, "a.csv:2: expected UTF-8, found byte 0xe2"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_csv csv;
    bv_error error;
    size_t length = rows[i].length ? rows[i].length : strlen(rows[i].bytes);
    ck_assert_int_eq(read_bytes(rows[i].bytes, length, &csv, &error),
                     BV_BAD_DATA);
    ck_assert_str_eq(strstr(error.text, "a.csv"), rows[i].text);
    ck_assert_ptr_null(csv.cells);
  }
}
END_TEST

START_TEST(too_many_columns_and_cells_are_refused) {
  bv_buffer wide = {0};
  for (int i = 0; i <= BV_CSV_COLUMNS_MOST; i++)
    bv_buffer_print(&wide, "%sc%d", i ? "," : "", i);
  bv_csv csv;
  bv_error error;
  ck_assert_int_eq(read_text(wide.text, &csv, &error), BV_BAD_DATA);
  ck_assert_ptr_nonnull(strstr(error.text, "at most 4096 columns, found 4097"));
  bv_buffer_free(&wide);
  for (int i = 0; i < 4096; i++)
    bv_buffer_print(&wide, "%sc%d", i ? "," : "", i);
  char commas[4096];
  memset(commas, ',', sizeof commas);
  commas[0] = '\n';
  for (int i = 0; i < 4096; i++)
    bv_buffer_append(&wide, commas, sizeof commas);
  ck_assert_int_eq(read_text(wide.text, &csv, &error), BV_BAD_DATA);
  ck_assert_ptr_nonnull(strstr(error.text, "fewer than 2^24 cells"));
  bv_buffer_free(&wide);
}
END_TEST

START_TEST(a_long_cell_is_read_whole) {
  size_t length = (size_t) 4 << 20;
  char *text = malloc(length + 1);
  memset(text, 'x', length);
  text[length] = '\0';
  memcpy(text, "a\n", 2);
  bv_csv csv;
  ck_assert_int_eq(read_text(text, &csv, NULL), BV_OK);
  ck_assert_uint_eq(strlen(bv_csv_cell(&csv, 1, 0)), length - 2);
  bv_csv_free(&csv);
  free(text);
}
END_TEST

START_TEST(what_is_no_file_is_no_input) {
  bv_csv csv;
  bv_error error;
  ck_assert_int_eq(bv_csv_read("/nowhere/a.csv", &csv, &error), BV_NO_INPUT);
  ck_assert_int_eq(bv_csv_read("/tmp", &csv, &error), BV_NO_INPUT);
}
END_TEST

START_TEST(any_text_reads_back) {
  static const char *const texts[] = {"",
                                      "plain",
                                      "with, comma",
                                      "\"quoted\"",
                                      "two\nlines",
                                      "cr\rlf\r\n",
                                      " blanks ",
                                      "\"",
                                      "\"\"",
                                      "=1+1",
                                      "\xc2\xb5H \xe2\x88\x9e",
                                      "\t"};
  size_t count = sizeof texts / sizeof *texts;
  bv_buffer file = {0};
  bv_buffer_print(&file, "x\n");
  for (size_t i = 0; i < count; i++) {
    bv_csv_append(&file, texts[i], 1);
    bv_buffer_append(&file, "\n", 1);
  }
  bv_csv csv;
  ck_assert_int_eq(read_text(file.text, &csv, NULL), BV_OK);
  ck_assert_uint_eq(csv.rows, count + 1);
  for (size_t i = 0; i < count; i++)
    ck_assert_str_eq(bv_csv_cell(&csv, i + 1, 0), texts[i]);
  bv_csv_free(&csv);
  bv_buffer_free(&file);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {rules_of_rfc_4180,
                                quoted_cells_hold_anything,
                                hostile_bytes_are_told_by_line,
                                too_many_columns_and_cells_are_refused,
                                a_long_cell_is_read_whole,
                                what_is_no_file_is_no_input,
                                any_text_reads_back,
                                NULL};
  return check_main("table/csvfile", tests);
}
