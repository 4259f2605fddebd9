/* SPDX-License-Identifier: MIT */
/* Bounds in the unit that suits them. */
#include "check_main.h"
#include "view/bound.h"

START_TEST(a_bound_is_read_in_the_unit_that_suits_it) {
  static const struct {
    const char *text, *shown, *typeset; /* shown NULL: left as it is */
  } rows[] = {
      {"at most 2.05e-05 m3", "at most 20.5 cm3", "at most 20.5 cm³"},
      {"at least 0.0003 m", "at least 0.3 mm", "at least 0.3 mm"},
      {"at most 0.5069 s", "at most 506.9 ms", "at most 506.9 ms"},
      {"at most 1.8 s", "at most 1.8 s", "at most 1.8 s"},
      {"at least -0.0012 V", "at least -1.2 mV", "at least -1.2 mV"},
      {"at most 3.3e-05 F", "at most 33 uF", "at most 33 µF"},
      {"at most 100.1 degC", "at most 100.1 degC", "at most 100.1 °C"},
      {"at most 0 m", "at most 0 m", "at most 0 m"},
      {"at most 80 mm", "at most 80 mm", "at most 80 mm"},
      {"at most 12 EUR", NULL, NULL},
      {"at least 0.15", NULL, NULL},
      {"at most what the script computes", NULL, NULL},
      {"at most ", NULL, NULL},
      {"most 5 s", NULL, NULL},
      {"", NULL, NULL},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
    for (int typeset = 0; typeset < 2; typeset++) {
      const char *wanted = typeset ? rows[i].typeset : rows[i].shown;
      bv_buffer out = {0};
      bool read = bv_bound_append(&out, rows[i].text, typeset);
      ck_assert_msg(read == (wanted != NULL), "%s", rows[i].text);
      if (wanted)
        ck_assert_str_eq(out.text, wanted);
      else
        ck_assert_uint_eq(out.length, 0);
      bv_buffer_free(&out);
    }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {a_bound_is_read_in_the_unit_that_suits_it,
                                NULL};
  return check_main("view/bound", tests);
}
