/* SPDX-License-Identifier: MIT */
/* The modules that C gives to scripts. */
#ifndef BV_SCRIPT_MODULE_H
#define BV_SCRIPT_MODULE_H

#include <lua.h>

/* Each pushes its module's table. */
int bv_module_charger(lua_State *L);
int bv_module_space(lua_State *L);
int bv_module_catalogue(lua_State *L);

/* The opener of the module called name ("brimvolt.space"), or NULL. */
lua_CFunction bv_module_find(const char *name);

/* Pushes and returns "; did you mean …?" with the module nearest to name, or
 * "". */
const char *bv_module_suggest(lua_State *L, const char *name);

#endif
