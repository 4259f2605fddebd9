/* SPDX-License-Identifier: MIT */
/* Library functions that stand in for Lua's own: those that would catch a
 * limit, loop in C, or change from run to run. Lists end with a NULL name; each
 * function's first upvalue is the one it replaces. */
#ifndef BV_SCRIPT_SAFE_H
#define BV_SCRIPT_SAFE_H

#include <lauxlib.h>

/* pcall, xpcall (pass limits on); setmetatable (refuses __gc, which runs with
 * hooks off); pairs (names in order); print (to standard error, capped);
 * require (loader.h). */
extern const luaL_Reg bv_safe_base[];

/* random (a stream keyed by seed and point), randomseed (refused). */
extern const luaL_Reg bv_safe_math[];

/* rep; insert, remove, move: loops of theirs count as steps. */
extern const luaL_Reg bv_safe_string[];
extern const luaL_Reg bv_safe_table[];

#endif
