/* SPDX-License-Identifier: MIT */
/* Sheets printed and looked at in tests. */
#ifndef BV_TESTS_VIEW_SHEET_PRINT_H
#define BV_TESTS_VIEW_SHEET_PRINT_H

#include "sample.h"
#include "view/sheet.h"

static inline bv_buffer print(const bv_front *front, size_t row, bool html) {
  bv_buffer out = {0};
  bv_row it = {front, row};
  bv_error error;
  bv_sheet_options options = {.html = html};
  ck_assert_msg(bv_sheet_print(&it, &options, &out, &error) == BV_OK, "%s",
                error.text);
  return out;
}

/* Takes out all that stands between two texts, and these. */
static inline void cut(char *text, const char *from, const char *to) {
  char *at;
  while ((at = strstr(text, from)) != NULL) {
    char *end = strstr(at, to) + strlen(to);
    memmove(at, end, strlen(end) + 1);
  }
}

static inline void check_has(const bv_buffer *text, const char *part) {
  ck_assert_msg(strstr(text->text, part) != NULL, "\"%s\" is missing", part);
}

static inline void check_lacks(const bv_buffer *text, const char *part) {
  ck_assert_msg(strstr(text->text, part) == NULL, "\"%s\" is there", part);
}

static inline void set(bv_front *front, size_t row, const char *name,
                       double value) {
  bv_front_value(front, row, bv_front_find(front, name))->number = value;
}

#endif
