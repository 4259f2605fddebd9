/* SPDX-License-Identifier: MIT */
/* Where a script's code and files come from: the script itself, modules beside
 * it, modules of the program. Nothing from elsewhere. */
#ifndef BV_SCRIPT_LOADER_H
#define BV_SCRIPT_LOADER_H

#include <lua.h>

#include "base/text.h"

/* Longest script or module, bytes. */
#define BV_SCRIPT_MOST ((size_t) 4 << 20)

/* Reads a file into the digest and pushes it as a compiled chunk. Text alone:
 * a compiled chunk is refused. Raises. `shown` is the name in messages. */
void bv_loader_push_chunk(lua_State *L, const char *path, const char *shown);

/* `require` of scripts: "brimvolt.NAME" is a module of the program, any other
 * name a file NAME.lua in the script's folder ("a.b": a/b.lua). Each is run
 * once, while the study loads. */
int bv_loader_require(lua_State *L);

#endif
