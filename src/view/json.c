/* SPDX-License-Identifier: MIT */
#include "view/json.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/utf8.h"

static bool needs_escape(uint32_t point) {
  return bv_utf8_is_control(point) || point == '<' || point == '>' ||
         point == '&' || point == '\'' || point == 0x2028 || point == 0x2029;
}

void bv_json_append_text(bv_buffer *json, const char *text) {
  if (!text) {
    bv_buffer_append(json, "null", 4);
    return;
  }
  bv_buffer_append(json, "\"", 1);
  for (size_t left = strlen(text); left > 0;) {
    uint32_t point = 0xfffd;
    size_t used = bv_utf8_decode(text, left, &point);
    if (used == 0)
      bv_buffer_print(json, "\\ufffd");
    else if (needs_escape(point))
      bv_buffer_print(json, "\\u%04x", (unsigned) point);
    else if (point == '"' || point == '\\')
      bv_buffer_print(json, "\\%c", (char) point);
    else
      bv_buffer_append(json, text, used);
    used = used ? used : 1;
    text += used;
    left -= used;
  }
  bv_buffer_append(json, "\"", 1);
}

void bv_json_append_number(bv_buffer *json, double value) {
  char text[BV_NUMBER_SIZE];
  bv_buffer_print(json, "%s",
                  isfinite(value) ? bv_format_number(text, value) : "null");
}
