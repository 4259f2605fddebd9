/* SPDX-License-Identifier: MIT */
#include "script/sandbox.h"

#include "script/host.h"
#include "script/safe.h"

/* What is left of each library of Lua. Not in the list: whatever reaches files,
 * the system, other code (io, os, package, load, dofile, string.dump), the
 * state itself (debug, collectgarbage, coroutine: a hook set on one thread does
 * not hold in another) or the time. */
static const char *const base_names[] = {
    "assert", "error",    "getmetatable", "ipairs",   "next",
    "rawget", "rawequal", "rawlen",       "rawset",   "select",
    "type",   "tonumber", "tostring",     "_VERSION", NULL};
static const char *const math_names[] = {
    "abs",       "acos",       "asin", "atan",       "ceil", "cos", "deg",
    "exp",       "log",        "max",  "min",        "modf", "pi",  "floor",
    "fmod",      "huge",       "rad",  "sin",        "sqrt", "tan", "type",
    "tointeger", "maxinteger", "ult",  "mininteger", NULL};
static const char *const string_names[] = {
    "byte", "char",   "find",  "format", "gmatch",   "gsub",
    "len",  "lower",  "match", "pack",   "packsize", "reverse",
    "sub",  "unpack", "upper", NULL};
static const char *const table_names[] = {"concat", "pack", "sort", "unpack",
                                          NULL};
static const char *const utf8_names[] = {
    "char", "charpattern", "codepoint", "codes", "len", "offset", NULL};

static const struct {
  const char *name;
  lua_CFunction open;
  const char *const *allowed;
  const luaL_Reg *replaced;
} libraries[] = {
    {LUA_GNAME, luaopen_base, base_names, bv_safe_base},
    {LUA_MATHLIBNAME, luaopen_math, math_names, bv_safe_math},
    {LUA_STRLIBNAME, luaopen_string, string_names, bv_safe_string},
    {LUA_TABLIBNAME, luaopen_table, table_names, bv_safe_table},
    {LUA_UTF8LIBNAME, luaopen_utf8, utf8_names, NULL},
};

/* Pushes a table with the allowed fields of the library at the top, which it
 * replaces. */
static void keep_allowed(lua_State *L, const char *const *allowed) {
  lua_newtable(L);
  for (; *allowed; allowed++) {
    lua_getfield(L, -2, *allowed);
    lua_setfield(L, -2, *allowed);
  }
  lua_remove(L, -2);
}

/* Each replacement gets Lua's own function as its upvalue, nil where it has
 * none. stack: …, whole library, allowed library */
static void replace(lua_State *L, const luaL_Reg *replaced) {
  for (; replaced && replaced->name; replaced++) {
    lua_getfield(L, -2, replaced->name);
    lua_pushcclosure(L, replaced->func, 1);
    lua_setfield(L, -2, replaced->name);
  }
}

/* Methods of strings: the allowed ones, and no way to change them. */
static void guard_strings(lua_State *L, int allowed) {
  lua_pushliteral(L, "");
  lua_getmetatable(L, -1);
  lua_pushvalue(L, allowed);
  lua_setfield(L, -2, "__index");
  lua_pushboolean(L, 0);
  lua_setfield(L, -2, "__metatable");
  lua_pop(L, 2);
}

void bv_sandbox_open(lua_State *L) {
  lua_newtable(L);
  int globals = lua_gettop(L);
  for (size_t i = 0; i < sizeof libraries / sizeof *libraries; i++) {
    luaL_requiref(L, libraries[i].name, libraries[i].open, 0);
    lua_pushvalue(L, -1);
    keep_allowed(L, libraries[i].allowed);
    replace(L, libraries[i].replaced);
    if (libraries[i].open == luaopen_string)
      guard_strings(L, lua_gettop(L));
    if (i == 0)
      lua_replace(L, globals);
    else
      lua_setfield(L, globals, libraries[i].name);
    lua_settop(L, globals);
  }
  lua_pushvalue(L, globals);
  lua_setfield(L, globals, LUA_GNAME);
  lua_rawseti(L, LUA_REGISTRYINDEX, LUA_RIDX_GLOBALS);
}
