/* SPDX-License-Identifier: MIT */
/* The standard streams. */
#ifndef BV_CLI_OUT_H
#define BV_CLI_OUT_H

#include <stdbool.h>

#include "base/status.h"
#include "base/text.h"
#include "table/front.h"

/* Makes sure that no file opened later lands on a standard stream that was
 * closed, and that a reader who goes away, or a file that grows over its limit,
 * is an error and not a signal. */
void bv_out_prepare(void);

/* BV_USAGE where writing to path (NULL and "-" are standard output) would put
 * the output in the place of the file it is made from. */
bv_status bv_out_spare(const char *path, const char *input, bv_error *error);

/* Writes a text to standard output. BV_CANNOT_WRITE; with an empty error text
 * where the reader closed the pipe. */
bv_status bv_out_write(const bv_buffer *text, bv_error *error);

/* Puts a text in the place of path in one step, or on standard output where
 * path is NULL or "-". As bv_out_write and bv_file_replace. */
bv_status bv_out_put(const char *path, const bv_buffer *text, bv_error *error);

/* The same for a front with its sidecar and, where there are any, the designs
 * near it (NULL: none); standard output gets its rows alone. */
bv_status bv_out_put_front(const char *path, const bv_front *front,
                           const bv_front *near, bv_error *error);

/* Where that failed, so that a search isn't lost: writes the front among the
 * temporary files ($TMPDIR, /tmp) and adds to the error where. */
void bv_out_keep_front(const bv_front *front, const bv_front *near,
                       bv_error *error);

/* Tries whether a front with its sidecar, and where it has_near the designs
 * near it with theirs, can be put in the place of path ("-" always can), before
 * a long search. BV_CANNOT_CREATE, BV_CANNOT_WRITE, BV_INTERNAL. */
bv_status bv_out_check_front(const char *path, bool has_near, bv_error *error);

/* Letters a line: the terminal's, else 120. */
size_t bv_out_width(void);

#endif
