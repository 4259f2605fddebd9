/* SPDX-License-Identifier: MIT */
/* UTF-8 (RFC 3629): checked decoding. */
#ifndef BV_BASE_UTF8_H
#define BV_BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Decodes the first character of the length >= 1 bytes at text and returns the
 * bytes it takes (1 … 4); 0 where they are no well-formed UTF-8 (overlong
 * forms, surrogates and points above U+10FFFF included). */
size_t bv_utf8_decode(const char *text, size_t length, uint32_t *point);

/* The length of the longest well-formed start of text. */
size_t bv_utf8_valid(const char *text, size_t length);

/* The length of the longest start of text that is well-formed and holds no
 * control character and no byte order mark: what can stand in one line of any
 * file. */
size_t bv_utf8_plain(const char *text, size_t length);

/* True for control characters (C0, DEL, C1), line breaks and tab included. */
bool bv_utf8_is_control(uint32_t point);

#endif
