/* SPDX-License-Identifier: MIT */
#include "view/aligned.h"

#include <string.h>

size_t bv_text_width(const char *text) {
  size_t width = 0;
  for (; *text; text++)
    width += ((unsigned char) *text & 0xc0) != 0x80;
  return width;
}

size_t bv_text_bytes(const char *text, size_t characters) {
  size_t bytes = 0;
  for (; text[bytes]; bytes++)
    if (((unsigned char) text[bytes] & 0xc0) != 0x80 && characters-- == 0)
      break;
  return bytes;
}

void bv_text_append_spaces(bv_buffer *out, size_t count) {
  static const char blanks[] = "                ";
  for (; count > sizeof blanks - 1; count -= sizeof blanks - 1)
    bv_buffer_append(out, blanks, sizeof blanks - 1);
  bv_buffer_append(out, blanks, count);
}

void bv_text_append_padded(bv_buffer *out, const char *text, size_t width,
                           bool left) {
  size_t used = bv_text_width(text), pad = width > used ? width - used : 0;
  bv_text_append_spaces(out, left ? 0 : pad);
  bv_buffer_append(out, text, strlen(text));
  bv_text_append_spaces(out, left ? pad : 0);
}

void bv_text_end_line(bv_buffer *out) {
  while (out->length > 0 && out->text[out->length - 1] == ' ')
    out->text[--out->length] = '\0';
  bv_buffer_append(out, "\n", 1);
}
