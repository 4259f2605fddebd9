/* SPDX-License-Identifier: MIT */
/* Aligned plain text. */
#ifndef BV_VIEW_ALIGNED_H
#define BV_VIEW_ALIGNED_H

#include "base/text.h"

/* Characters of a UTF-8 text, each taken to be one column wide. */
size_t bv_text_width(const char *text);

/* The bytes of its first characters, of the whole text where it has fewer. */
size_t bv_text_bytes(const char *text, size_t characters);

void bv_text_append_spaces(bv_buffer *out, size_t count);

/* Appends text and the blanks that fill a width, after it where it is left
 * aligned, before it where not. */
void bv_text_append_padded(bv_buffer *out, const char *text, size_t width,
                           bool left);

/* Ends a line; blanks at its end are taken away. */
void bv_text_end_line(bv_buffer *out);

#endif
