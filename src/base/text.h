/* SPDX-License-Identifier: MIT */
/* Texts: growing buffers, numbers that read back, the nearest known name.
 * All number conversion is in the C locale; the program never calls
 * setlocale. */
#ifndef BV_BASE_TEXT_H
#define BV_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* Room for any double as bv_format_number writes it. */
enum { BV_NUMBER_SIZE = 32 };

/* Writes value in the shortest of 15, 16 or 17 significant digits that read
 * back to the same double ("nan", "inf", "-inf" as such) into text, which has
 * BV_NUMBER_SIZE bytes; returns text. */
char *bv_format_number(char *text, double value);

/* Reads a whole text as one double, nan and inf too (no trailing characters,
 * no leading blanks, no hexadecimal); false where it isn't one. */
bool bv_parse_number(const char *text, double *value);

/* A growing text. Start from {0}; `text` is NULL until the first append and
 * NUL-terminated after it. */
typedef struct bv_buffer {
  char *text;
  size_t length, room;
  bool failed; /* memory ran out or the cap was hit; later appends do nothing */
} bv_buffer;

void bv_buffer_append(bv_buffer *buffer, const char *bytes, size_t length);
void bv_buffer_print(bv_buffer *buffer, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Appends a word, in quotes where a POSIX shell needs them. */
void bv_buffer_append_word(bv_buffer *buffer, const char *word);
void bv_buffer_free(bv_buffer *buffer);

/* Finds the known name nearest to a mistyped one, or to one that was begun:
 * begin, offer each known name, read `best` (NULL where none is near enough).
 */
typedef struct bv_nearest {
  const char *wanted, *best;
  size_t distance; /* of best, or one more than allowed */
} bv_nearest;

bv_nearest bv_nearest_begin(const char *wanted);
void bv_nearest_offer(bv_nearest *search, const char *known);

#endif
