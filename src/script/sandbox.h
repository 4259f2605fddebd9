/* SPDX-License-Identifier: MIT */
/* The library a script sees: an allow-list of Lua's own, some of it replaced.
 */
#ifndef BV_SCRIPT_SANDBOX_H
#define BV_SCRIPT_SANDBOX_H

#include <lua.h>

/* Makes the globals of a fresh state. Raises where memory runs out. */
void bv_sandbox_open(lua_State *L);

#endif
