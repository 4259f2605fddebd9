/* SPDX-License-Identifier: MIT */
#ifndef BV_CLI_LIBRARY_H
#define BV_CLI_LIBRARY_H

#include <stddef.h>

#include "base/status.h"

/* Finds the folder lib/ with Lua modules and catalogues: where BRIMVOLT_LIB
 * says, else beside the build, else where it is installed; path has room for
 * size bytes. BV_NO_INPUT. */
bv_status bv_library_find(char *path, size_t size, bv_error *error);

#endif
