/* SPDX-License-Identifier: MIT */
/* Status codes and error texts: how every room reports trouble.
 *
 * A function that can fail returns bv_status and takes a bv_error last; it
 * fills the error only when it fails. Only cli/ turns a status into an exit
 * code; no other room ends the process or prints. */
#ifndef BV_BASE_STATUS_H
#define BV_BASE_STATUS_H

/* X(code, meaning, exit code of the program) */
#define BV_STATUS_MAP(X)                                                       \
  X(OK, "done", 0)                                                             \
  X(NO_DESIGN, "finished without a feasible design", 1)                        \
  X(USAGE, "wrong use of the command line", 64)                                \
  X(BAD_DATA, "bad data or script", 65)                                        \
  X(NO_INPUT, "no such input", 66)                                             \
  X(INTERNAL, "internal error", 70)                                            \
  X(CANNOT_CREATE, "cannot create the output", 73)                             \
  X(CANNOT_WRITE, "cannot write", 74)                                          \
  X(LOCKED, "locked by another run, try again", 75)                            \
  X(INTERRUPTED, "interrupted, results saved", 130)                            \
  X(TERMINATED, "terminated, results saved", 143)

typedef enum bv_status {
#define BV_STATUS_ENUM(code, meaning, exit_code) BV_##code,
  BV_STATUS_MAP(BV_STATUS_ENUM)
#undef BV_STATUS_ENUM
      BV_STATUS_COUNT
} bv_status;

typedef struct bv_error {
  bv_status status;
  char text[1024]; /* one or more lines, no newline at the end */
} bv_error;

/* The one-line meaning of a status; static text. */
const char *bv_status_meaning(bv_status status);

/* The exit code of the program for a status. */
int bv_status_exit_code(bv_status status);

/* Fills error (NULL is allowed) with status and a formatted text, cut at the
 * buffer's end, and returns status. */
bv_status bv_fail(bv_error *error, bv_status status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Puts a formatted prefix and ": " before the text already in error (NULL is
 * allowed) and returns its status: a caller adds file or field to the cause. */
bv_status bv_fail_within(bv_error *error, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
