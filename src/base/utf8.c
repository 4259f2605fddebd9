/* SPDX-License-Identifier: MIT */
#include "base/utf8.h"

/* Lead bytes: length of the sequence, least point it may encode, pattern. */
static const struct {
  size_t length;
  uint32_t least;
  unsigned char mask, pattern;
} leads[] = {{1, 0, 0x80, 0x00},
             {2, 0x80, 0xe0, 0xc0},
             {3, 0x800, 0xf0, 0xe0},
             {4, 0x10000, 0xf8, 0xf0}};

static bool is_allowed(uint32_t point, uint32_t least) {
  bool is_surrogate = point >= 0xd800 && point <= 0xdfff;
  return point >= least && point <= 0x10ffff && !is_surrogate;
}

size_t bv_utf8_decode(const char *text, size_t length, uint32_t *point) {
  const unsigned char *bytes = (const unsigned char *) text;
  for (size_t i = 0; i < sizeof leads / sizeof *leads; i++) {
    if ((bytes[0] & leads[i].mask) != leads[i].pattern)
      continue;
    if (leads[i].length > length)
      return 0;
    uint32_t value = bytes[0] & (unsigned char) ~leads[i].mask;
    for (size_t k = 1; k < leads[i].length; k++) {
      if ((bytes[k] & 0xc0) != 0x80)
        return 0;
      value = value << 6 | (bytes[k] & 0x3f);
    }
    *point = value;
    return is_allowed(value, leads[i].least) ? leads[i].length : 0;
  }
  return 0;
}

size_t bv_utf8_valid(const char *text, size_t length) {
  size_t at = 0;
  while (at < length) {
    uint32_t point;
    size_t used = bv_utf8_decode(text + at, length - at, &point);
    if (used == 0)
      break;
    at += used;
  }
  return at;
}

size_t bv_utf8_plain(const char *text, size_t length) {
  size_t at = 0;
  while (at < length) {
    uint32_t point;
    size_t used = bv_utf8_decode(text + at, length - at, &point);
    if (used == 0 || bv_utf8_is_control(point) || point == 0xfeff)
      break;
    at += used;
  }
  return at;
}

bool bv_utf8_is_control(uint32_t point) {
  return point < 0x20 || (point >= 0x7f && point < 0xa0);
}
