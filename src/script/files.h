/* SPDX-License-Identifier: MIT */
/* Files beside a script, and the digest of all that a study was made from. */
#ifndef BV_SCRIPT_FILES_H
#define BV_SCRIPT_FILES_H

#include "script/host.h"

/* Pushes the real path of a file beside the script. Raises where the name is
 * absolute, steps out of the folder (also by a symbolic link) or isn't there;
 * `what` begins the message. */
const char *bv_files_push_path(lua_State *L, const char *name,
                               const char *what);

/* Adds the bytes of a file that the study depends on to the digest. Raises. */
void bv_files_digest(lua_State *L, const char *path);

/* The same of a file that was read. */
void bv_files_digest_text(bv_host *host, const bv_buffer *file);

#endif
