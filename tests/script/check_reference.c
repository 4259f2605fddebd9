/* SPDX-License-Identifier: MIT */
/* lib/reference.md and lib/definitions are what the program prints. With
 * UPDATE=1 in the environment the files are written instead (make reference).
 */
#include "script/reference.h"

#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "check_main.h"

static void compare(const char *path, bv_buffer *text) {
  bv_buffer file = {0};
  bv_error error = {0};
  if (getenv("UPDATE")) {
    ck_assert_msg(bv_file_replace(path, text->text, text->length, &error) ==
                      BV_OK,
                  "%s", error.text);
    return;
  }
  ck_assert_msg(bv_file_read(path, (size_t) 1 << 24, &file, &error) == BV_OK,
                "%s", error.text);
  size_t same = 0;
  while (same < file.length && file.text[same] == text->text[same])
    same++;
  ck_assert_msg(file.length == text->length && same == file.length,
                "%s differs from byte %zu on (make reference): %.60s", path,
                same, text->text + same);
  bv_buffer_free(&file);
}

START_TEST(the_reference_is_up_to_date) {
  bv_buffer text = {0};
  bv_reference_print(&text);
  ck_assert(!text.failed && text.length > 20000);
  compare("lib/reference.md", &text);
  bv_buffer_free(&text);
}
END_TEST

START_TEST(the_definitions_are_up_to_date) {
  const bv_definitions *each;
  bv_error error;
  ck_assert_int_eq(bv_folder_make("lib/definitions/brimvolt", &error), BV_OK);
  for (unsigned i = 0; (each = bv_definitions_at(i)); i++) {
    char path[200];
    bv_buffer text = {0};
    snprintf(path, sizeof path, "lib/definitions/brimvolt/%s", each->file);
    each->print(&text, each->file);
    ck_assert_uint_gt(text.length, 100);
    compare(path, &text);
    bv_buffer_free(&text);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {the_reference_is_up_to_date,
                                the_definitions_are_up_to_date, NULL};
  return check_main("reference", tests);
}
