/* SPDX-License-Identifier: MIT */
#include "base/text.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

char *bv_format_number(char *text, double value) {
  if (isnan(value)) /* printf may show its sign */
    return memcpy(text, "nan", sizeof "nan");
  for (int digits = 15; digits <= 17; digits++) {
    snprintf(text, BV_NUMBER_SIZE, "%.*g", digits, value);
    if (strtod(text, NULL) == value)
      break;
  }
  return text;
}

bool bv_parse_number(const char *text, double *value) {
  if (!*text || isspace((unsigned char) *text) || strpbrk(text, "xX("))
    return false;
  char *end;
  double number = strtod(text, &end);
  if (*end)
    return false;
  *value = number;
  return true;
}

static bool buffer_reserve(bv_buffer *buffer, size_t more) {
  if (buffer->failed)
    return false;
  size_t needed = buffer->length + more + 1;
  if (needed <= buffer->room)
    return true;
  size_t room = buffer->room ? buffer->room : 256;
  while (room < needed)
    room *= 2;
  char *text = realloc(buffer->text, room);
  if (!text) {
    buffer->failed = true;
    return false;
  }
  buffer->text = text;
  buffer->room = room;
  return true;
}

void bv_buffer_append(bv_buffer *buffer, const char *bytes, size_t length) {
  if (!buffer_reserve(buffer, length))
    return;
  memcpy(buffer->text + buffer->length, bytes, length);
  buffer->length += length;
  buffer->text[buffer->length] = '\0';
}

void bv_buffer_print(bv_buffer *buffer, const char *format, ...) {
  va_list arguments, again;
  va_start(arguments, format);
  va_copy(again, arguments);
  int length = vsnprintf(NULL, 0, format, arguments);
  va_end(arguments);
  if (length >= 0 && buffer_reserve(buffer, (size_t) length)) {
    vsnprintf(buffer->text + buffer->length, (size_t) length + 1, format,
              again);
    buffer->length += (size_t) length;
  }
  va_end(again);
}

void bv_buffer_append_word(bv_buffer *buffer, const char *word) {
  static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUV"
                              "WXYZ0123456789_./+-=:,@%";
  if (*word && strspn(word, plain) == strlen(word)) {
    bv_buffer_print(buffer, "%s", word);
    return;
  }
  bv_buffer_print(buffer, "'");
  for (; *word; word++)
    bv_buffer_print(buffer, *word == '\'' ? "'\\''" : "%c", *word);
  bv_buffer_print(buffer, "'");
}

void bv_buffer_free(bv_buffer *buffer) {
  free(buffer->text);
  *buffer = (bv_buffer){0};
}

enum { LONGEST_NAME = 64 };

/* Levenshtein's distance of two names of at most LONGEST_NAME letters, where
 * two neighbours that change places count once (Damerau 1964, the restricted
 * form).
 */
static size_t edit_distance(const char *a, const char *b) {
  size_t rows[3][LONGEST_NAME + 1], width = strlen(b), i = 0;
  for (size_t j = 0; j <= width; j++)
    rows[0][j] = j;
  for (; a[i]; i++) {
    const size_t *above = rows[i % 3], *before = rows[(i + 2) % 3];
    size_t *row = rows[(i + 1) % 3];
    row[0] = i + 1;
    for (size_t j = 0; j < width; j++) {
      size_t change = above[j] + (a[i] != b[j]);
      size_t insert = row[j] + 1, drop = above[j + 1] + 1;
      row[j + 1] = change < insert ? change : insert;
      row[j + 1] = row[j + 1] < drop ? row[j + 1] : drop;
      if (i > 0 && j > 0 && a[i] == b[j - 1] && a[i - 1] == b[j] &&
          before[j - 1] + 1 < row[j + 1])
        row[j + 1] = before[j - 1] + 1;
    }
  }
  return rows[i % 3][width];
}

bv_nearest bv_nearest_begin(const char *wanted) {
  size_t length = strlen(wanted);
  size_t allowed = length < 3 ? 1 : length / 3;
  return (bv_nearest){wanted, NULL, allowed + 1};
}

/* A name that only goes on is one letter away, as far as it is typed. */
static size_t distance_of(const char *wanted, const char *known) {
  size_t length = strlen(wanted);
  if (length >= 3 && strncmp(wanted, known, length) == 0)
    return known[length] != 0;
  return edit_distance(wanted, known);
}

void bv_nearest_offer(bv_nearest *search, const char *known) {
  if (strlen(known) > LONGEST_NAME || strlen(search->wanted) > LONGEST_NAME)
    return;
  size_t distance = distance_of(search->wanted, known);
  if (distance < search->distance) {
    search->best = known;
    search->distance = distance;
  }
}
