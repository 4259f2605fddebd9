/* SPDX-License-Identifier: MIT */
#include "view/html.h"

#include <sha2.h>
#include <stdint.h>
#include <string.h>

static const char *entity(char c) {
  switch (c) {
  case '&':
    return "&amp;";
  case '<':
    return "&lt;";
  case '>':
    return "&gt;";
  case '"':
    return "&quot;";
  case '\'':
    return "&#39;";
  default:
    return NULL;
  }
}

static bool is_control(char c) {
  return ((unsigned char) c < 0x20 && c != '\n' && c != '\t') || c == 0x7f;
}

void bv_html_escape(bv_buffer *out, const char *text) {
  for (; *text; text++) {
    const char *written = is_control(*text) ? "\xef\xbf\xbd" : entity(*text);
    bv_buffer_append(out, written ? written : text,
                     written ? strlen(written) : 1);
  }
}

/* Base64 (RFC 4648). */
static void append_base64(bv_buffer *out, const uint8_t *bytes, size_t length) {
  static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
                               "abcdefghijklmnopqrstuvwxyz0123456789+/";
  for (size_t i = 0; i < length; i += 3) {
    size_t left = length - i;
    unsigned group = (unsigned) bytes[i] << 16;
    group |= left > 1 ? (unsigned) bytes[i + 1] << 8 : 0;
    group |= left > 2 ? (unsigned) bytes[i + 2] : 0;
    bv_buffer_print(out, "%c%c%c%c", digits[group >> 18],
                    digits[group >> 12 & 63],
                    left > 1 ? digits[group >> 6 & 63] : '=',
                    left > 2 ? digits[group & 63] : '=');
  }
}

void bv_html_hash(bv_buffer *out, const char *text) {
  uint8_t digest[SHA256_DIGEST_LENGTH];
  SHA2_CTX context;
  SHA256Init(&context);
  SHA256Update(&context, (const uint8_t *) text, strlen(text));
  SHA256Final(digest, &context);
  bv_buffer_print(out, "'sha256-");
  append_base64(out, digest, sizeof digest);
  bv_buffer_print(out, "'");
}
