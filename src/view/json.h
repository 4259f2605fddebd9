/* SPDX-License-Identifier: MIT */
/* JSON (RFC 8259) values, safe inside an HTML script element too. */
#ifndef BV_VIEW_JSON_H
#define BV_VIEW_JSON_H

#include "base/text.h"

/* Appends a text in quotes; '<', '>', '&', control characters and the line
 * separators U+2028 and U+2029 are written as \u escapes. NULL is null. */
void bv_json_append_text(bv_buffer *json, const char *text);

/* Appends a number with all its digits; null where it isn't finite. */
void bv_json_append_number(bv_buffer *json, double value);

#endif
