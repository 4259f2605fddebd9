/* SPDX-License-Identifier: MIT */
#include "base/text.h"

#include <string.h>

#include "base/status.h"
#include "base/utf8.h"
#include "check_main.h"

START_TEST(numbers_read_back_in_the_fewest_digits) {
  static const struct {
    double value;
    const char *text;
  } rows[] = {{0.1, "0.1"},        {1.0 / 3, "0.333333333333333"},
              {4.7e-6, "4.7e-06"}, {0, "0"},
              {-1500, "-1500"},    {0.1 + 0.2, "0.30000000000000004"}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    char text[BV_NUMBER_SIZE];
    double back;
    bv_format_number(text, rows[i].value);
    ck_assert(bv_parse_number(text, &back) && back == rows[i].value);
    if (i != 1)
      ck_assert_str_eq(text, rows[i].text);
  }
}
END_TEST

START_TEST(what_is_no_number_is_refused) {
  static const char *const texts[] = {"", " 1", "1 ", "0x10", "1,5", "abc"};
  for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
    double value;
    ck_assert_msg(!bv_parse_number(texts[i], &value), "'%s'", texts[i]);
  }
}
END_TEST

START_TEST(nearest_name_is_found_only_when_near) {
  bv_nearest search = bv_nearest_begin("chrage_time");
  bv_nearest_offer(&search, "core_volume");
  bv_nearest_offer(&search, "charge_time");
  ck_assert_str_eq(search.best, "charge_time");
  search = bv_nearest_begin("cost");
  bv_nearest_offer(&search, "charge_time");
  ck_assert_ptr_null(search.best);
  search = bv_nearest_begin("ETD34");
  bv_nearest_offer(&search, "ETD3/1/2");
  bv_nearest_offer(&search, "ETD34/17/11");
  bv_nearest_offer(&search, "ETD35");
  ck_assert_str_eq(search.best, "ETD34/17/11");
  search = bv_nearest_begin("tabel"); /* neighbours that changed places */
  bv_nearest_offer(&search, "table");
  ck_assert_ptr_nonnull(search.best);
  ck_assert_uint_eq(search.distance, 1);
  search = bv_nearest_begin("abtle"); /* two slips */
  bv_nearest_offer(&search, "table");
  ck_assert_ptr_null(search.best);
  search = bv_nearest_begin("ET");
  bv_nearest_offer(&search, "ETD34/17/11");
  ck_assert_ptr_null(search.best);
}
END_TEST

/* Letters of two bytes in a message that is too long, from an even and an odd
 * place: the last one is whole. */
START_TEST(a_message_that_is_cut_ends_with_a_whole_letter) {
  char letters[3 * sizeof(bv_error)] = "";
  for (size_t i = 0; i + 2 < sizeof letters; i += 2)
    memcpy(letters + i, "\xc2\xb5", 3);
  for (int shift = 0; shift < 2; shift++) {
    bv_error error;
    bv_fail(&error, BV_BAD_DATA, "%s%s", shift ? "x" : "", letters);
    size_t length = strlen(error.text);
    ck_assert_uint_ge(length, sizeof error.text - 2);
    ck_assert_uint_eq(bv_utf8_valid(error.text, length), length);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      numbers_read_back_in_the_fewest_digits, what_is_no_number_is_refused,
      nearest_name_is_found_only_when_near,
      a_message_that_is_cut_ends_with_a_whole_letter, NULL};
  return check_main("base/text", tests);
}
