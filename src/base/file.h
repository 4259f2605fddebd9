/* SPDX-License-Identifier: MIT */
/* Whole files: read with a cap, replaced in one step. */
#ifndef BV_BASE_FILE_H
#define BV_BASE_FILE_H

#include <stddef.h>

#include "base/status.h"
#include "base/text.h"

/* Reads a whole regular file, or standard input for "-", into buffer (freed by
 * the caller). BV_NO_INPUT where it doesn't exist, is a folder or can't be
 * read; BV_BAD_DATA where it is longer than most bytes. */
bv_status bv_file_read(const char *path, size_t most, bv_buffer *buffer,
                       bv_error *error);

/* Puts bytes in the place of path: a temporary file beside it, synced,
 * renamed, the folder synced. A run cut at any moment leaves the old file or
 * the new one. The mode is the old file's or what the umask leaves; a link
 * stays and the file it names is replaced. BV_CANNOT_CREATE where the temporary
 * file or the rename fails, BV_CANNOT_WRITE where writing does. */
bv_status bv_file_replace(const char *path, const char *bytes, size_t length,
                          bv_error *error);

/* The same in two steps, for files that belong together: stage each, so that a
 * full disk is met before anything is replaced, then commit each. */
typedef struct bv_staged {
  char *temporary, *path; /* owned; NULL: nothing is staged */
} bv_staged;

bv_status bv_file_stage(const char *path, const char *bytes, size_t length,
                        bv_staged *staged, bv_error *error);
bv_status bv_file_commit(bv_staged *staged, bv_error *error);
void bv_file_discard(bv_staged *staged);

/* The length of FILE where a name is that of a staged file,
 * FILE.XXXXXX.part with any six letters; 0 where it isn't. */
size_t bv_file_staged(const char *name);

/* Has the folder of a file on the disk, so that a new name in it lasts; as far
 * as the file system can. */
void bv_folder_sync_of(const char *path);

/* Makes a folder and those above it; an existing one is no error.
 * BV_CANNOT_CREATE. */
bv_status bv_folder_make(const char *path, bv_error *error);

#endif
