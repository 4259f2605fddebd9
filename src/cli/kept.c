/* SPDX-License-Identifier: MIT */
#include "cli/kept.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

/* Texts of a column that are told. */
enum { TEXTS_MOST = 6 };

static bool is_part(char letter) {
  return isalnum((unsigned char) letter) || letter == '_';
}

static bool names(const char *expression, const char *column) {
  size_t length = strlen(column);
  for (const char *at = expression; length > 0 && (at = strstr(at, column));
       at += length)
    if ((at == expression || !is_part(at[-1])) && !is_part(at[length]))
      return true;
  return false;
}

static bool is_new(const bv_front *front, size_t row, size_t column) {
  const char *text = bv_front_value(front, row, column)->text;
  bool fresh = text != NULL;
  for (size_t r = 0; r < row && fresh; r++) {
    const char *other = bv_front_value(front, r, column)->text;
    fresh = !other || strcmp(other, text) != 0;
  }
  return fresh;
}

static void append_texts(const bv_front *front, size_t column,
                         bv_buffer *text) {
  size_t told = 0;
  bv_buffer_print(text, "one of");
  for (size_t r = 0; r < front->rows && told <= TEXTS_MOST; r++) {
    if (!is_new(front, r, column))
      continue;
    if (told++ == TEXTS_MOST)
      bv_buffer_print(text, ", …");
    else
      bv_buffer_print(text, "%s \"%s\"", told > 1 ? "," : "",
                      bv_front_value(front, r, column)->text);
  }
  if (told == 0)
    bv_buffer_print(text, " nothing");
}

static void append_range(const bv_front *front, size_t column,
                         bv_buffer *text) {
  const char *unit = front->column[column].unit;
  double lo = HUGE_VAL, hi = -HUGE_VAL;
  for (size_t r = 0; r < front->rows; r++) {
    lo = fmin(lo, bv_front_value(front, r, column)->number);
    hi = fmax(hi, bv_front_value(front, r, column)->number);
  }
  if (lo > hi)
    bv_buffer_print(text, "no number");
  else
    bv_buffer_print(text, "from %.4g to %.4g%s%s", lo, hi,
                    unit && *unit ? " " : "", unit ? unit : "");
}

void bv_kept_explain(const bv_front *front, const char *expression, size_t kept,
                     bv_buffer *text) {
  size_t told = 0;
  for (size_t c = 0; c < front->columns; c++) {
    if (!names(expression, front->column[c].name))
      continue;
    if (told++ == 0)
      bv_buffer_print(text, "--keep kept %s; in the file's units ",
                      kept > 0 ? "every row" : "no row");
    else
      bv_buffer_print(text, ", ");
    bv_buffer_print(text, "%s is ", front->column[c].name);
    if (front->column[c].is_text)
      append_texts(front, c, text);
    else
      append_range(front, c, text);
  }
  if (told > 0)
    bv_buffer_print(text, "\n");
}
