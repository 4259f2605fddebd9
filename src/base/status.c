/* SPDX-License-Identifier: MIT */
#include "base/status.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/utf8.h"

static const char *const meanings[] = {
#define BV_STATUS_MEANING(code, meaning, exit_code) meaning,
    BV_STATUS_MAP(BV_STATUS_MEANING)
#undef BV_STATUS_MEANING
};

static const int exit_codes[] = {
#define BV_STATUS_EXIT(code, meaning, exit_code) exit_code,
    BV_STATUS_MAP(BV_STATUS_EXIT)
#undef BV_STATUS_EXIT
};

const char *bv_status_meaning(bv_status status) {
  return status < BV_STATUS_COUNT ? meanings[status] : "unknown status";
}

int bv_status_exit_code(bv_status status) {
  return status < BV_STATUS_COUNT ? exit_codes[status] : 70;
}

/* A text that was cut ends with a whole letter. */
static void end_whole(char *text) {
  size_t length = strlen(text), valid = bv_utf8_valid(text, length);
  if (length - valid < 4)
    text[valid] = '\0';
}

bv_status bv_fail(bv_error *error, bv_status status, const char *format, ...) {
  if (error) {
    va_list arguments;
    va_start(arguments, format);
    error->status = status;
    int length = vsnprintf(error->text, sizeof error->text, format, arguments);
    va_end(arguments);
    if (length >= (int) sizeof error->text)
      end_whole(error->text);
  }
  return status;
}

bv_status bv_fail_within(bv_error *error, const char *format, ...) {
  if (!error)
    return BV_BAD_DATA;
  char cause[sizeof error->text];
  memcpy(cause, error->text, sizeof cause);
  va_list arguments;
  va_start(arguments, format);
  int used = vsnprintf(error->text, sizeof error->text, format, arguments);
  va_end(arguments);
  /* A text that is too long is cut; the result is looked at since gcc warns of
   * a cut that nobody notices. */
  if (used >= 0 && (size_t) used < sizeof error->text &&
      snprintf(error->text + used, sizeof error->text - (size_t) used, ": %s",
               cause) < 0)
    error->text[used] = '\0';
  return error->status;
}
