/* SPDX-License-Identifier: MIT */
#include "script/safe.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "script/host.h"
#include "script/loader.h"
#include "script/ordered.h"
#include "script/traceback.h"

/* Bytes a state may print: a loop of print must not fill a disk. */
enum { PRINT_MOST = 1 << 20 };

static int safe_pcall(lua_State *L) {
  luaL_checkany(L, 1);
  lua_pushboolean(L, 1);
  lua_insert(L, 1);
  int status = lua_pcall(L, lua_gettop(L) - 2, LUA_MULTRET, 0);
  bv_host_pass_on(L, status);
  if (status == LUA_OK)
    return lua_gettop(L);
  lua_pushboolean(L, 0);
  lua_insert(L, -2);
  return 2;
}

/* The script's handler (upvalue 1) unless a limit was hit: the hook that tells
 * of a limit calls the handler with hooks off, and a loop there had no end. */
static int guarded_handler(lua_State *L) {
  if (bv_host_of(L)->trip)
    return 1;
  lua_settop(L, 1);
  lua_pushvalue(L, lua_upvalueindex(1));
  lua_insert(L, 1);
  lua_call(L, 1, 1);
  return 1;
}

/* stack: f, handler, arguments … -> handler, true, f, arguments … */
static int safe_xpcall(lua_State *L) {
  luaL_checktype(L, 2, LUA_TFUNCTION);
  lua_pushvalue(L, 2);
  lua_pushcclosure(L, guarded_handler, 1);
  lua_replace(L, 2);
  lua_pushboolean(L, 1);
  lua_pushvalue(L, 1);
  lua_remove(L, 1);
  lua_rotate(L, 2, 2);
  int status = lua_pcall(L, lua_gettop(L) - 3, LUA_MULTRET, 1);
  bv_host_pass_on(L, status);
  if (status == LUA_OK)
    return lua_gettop(L) - 1;
  lua_pushboolean(L, 0);
  lua_insert(L, -2);
  return 2;
}

static int safe_setmetatable(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  if (lua_istable(L, 2)) {
    lua_pushliteral(L, "__gc");
    if (lua_rawget(L, 2) != LUA_TNIL)
      luaL_error(L, "setmetatable: __gc is not available to studies");
    lua_pop(L, 1);
  }
  lua_pushvalue(L, lua_upvalueindex(1));
  lua_insert(L, 1);
  lua_call(L, lua_gettop(L) - 1, 1);
  return 1;
}

static bool has_address(lua_State *L, int index) {
  int type = lua_type(L, index);
  return type == LUA_TTABLE || type == LUA_TFUNCTION || type == LUA_TUSERDATA;
}

/* Pushes the text of the value at index. Where Lua would show an address, which
 * changes from run to run, the type stands alone. */
static const char *push_text(lua_State *L, int index, size_t *length) {
  if (!has_address(L, index) ||
      luaL_getmetafield(L, index, "__tostring") != LUA_TNIL)
    return luaL_tolstring(L, index, length);
  if (luaL_getmetafield(L, index, "__name") != LUA_TSTRING)
    lua_pushstring(L, luaL_typename(L, index));
  return lua_tolstring(L, -1, length);
}

static int safe_tostring(lua_State *L) {
  luaL_checkany(L, 1);
  push_text(L, 1, NULL);
  return 1;
}

static void append_clean(bv_host *host, const char *text, size_t length,
                         bv_buffer *line) {
  for (size_t i = 0; i < length && host->printed < PRINT_MOST; i++) {
    char letter = bv_traceback_letter(text[i]);
    bv_buffer_append(line, &letter, 1);
    host->printed++;
  }
}

/* A line is written at once, so that those of workers don't mix. All that may
 * raise comes before memory is taken. */
static int safe_print(lua_State *L) {
  bv_buffer line = {0};
  bv_host *host = bv_host_of(L);
  int count = lua_gettop(L);
  for (int i = 1; i <= count; i++) {
    push_text(L, i, NULL);
    lua_replace(L, i);
    lua_settop(L, count);
  }
  for (int i = 1; i <= count; i++) {
    size_t length;
    const char *text = lua_tolstring(L, i, &length);
    append_clean(host, "\t", i > 1, &line);
    append_clean(host, text, length, &line);
  }
  append_clean(host, "\n", 1, &line);
  if (line.length > 0)
    fwrite(line.text, 1, line.length, stderr);
  bv_buffer_free(&line);
  return 0;
}

/* 64-bit FNV-1a over the bytes of a point. */
static uint64_t hash_point(const bv_host *host) {
  const unsigned char *bytes = (const unsigned char *) host->point;
  uint64_t hash = 0xcbf29ce484222325u;
  for (size_t i = 0; i < host->point_size * sizeof *host->point; i++)
    hash = (hash ^ bytes[i]) * 0x100000001b3u;
  return hash;
}

static bv_random *stream(lua_State *L) {
  bv_host *host = bv_host_of(L);
  if (!host->random_ready)
    host->random =
        bv_random_keyed(host->seed, hash_point(host), host->point ? 1 : 0);
  host->random_ready = true;
  return &host->random;
}

/* random(), random(m), random(m, n) as in Lua; random(0) is left out. */
static int safe_random(lua_State *L) {
  if (lua_gettop(L) == 0) {
    lua_pushnumber(L, bv_random_unit(stream(L)));
    return 1;
  }
  lua_Integer lo = lua_gettop(L) > 1 ? luaL_checkinteger(L, 1) : 1;
  lua_Integer hi = luaL_checkinteger(L, lua_gettop(L) > 1 ? 2 : 1);
  luaL_argcheck(L, lo <= hi, lua_gettop(L), "interval is empty");
  uint64_t span = (uint64_t) hi - (uint64_t) lo;
  uint64_t draw = span == UINT64_MAX ? bv_random_bits(stream(L))
                                     : bv_random_below(stream(L), span + 1);
  lua_Unsigned drawn = (lua_Unsigned) lo + draw;
  lua_pushinteger(L, (lua_Integer) drawn);
  return 1;
}

static int safe_randomseed(lua_State *L) {
  return luaL_error(L, "math.randomseed: the numbers of a study come from "
                       "--seed and the point; leave the call out");
}

/* Calls the function that is replaced with the same arguments. */
static int call_replaced(lua_State *L) {
  lua_pushvalue(L, lua_upvalueindex(1));
  lua_insert(L, 1);
  lua_call(L, lua_gettop(L) - 1, LUA_MULTRET);
  return lua_gettop(L);
}

static int safe_rep(lua_State *L) {
  bv_host_charge(L, luaL_checkinteger(L, 2));
  return call_replaced(L);
}

/* True where a format asks for an address. */
static bool asks_for_address(const char *format) {
  while ((format = strchr(format, '%'))) {
    format += 1 + strspn(format + 1, "-+ #0123456789.");
    if (*format == 'p')
      return true;
    format += *format != '\0';
  }
  return false;
}

static int safe_format(lua_State *L) {
  if (asks_for_address(luaL_checkstring(L, 1)))
    luaL_error(L, "string.format: %%p is not available to studies");
  for (int i = 2, count = lua_gettop(L); i <= count; i++)
    if (has_address(L, i)) {
      push_text(L, i, NULL);
      lua_replace(L, i);
      lua_settop(L, count);
    }
  return call_replaced(L);
}

/* insert and remove shift as many elements as the table says it has. */
static int safe_shift(lua_State *L) {
  if (lua_gettop(L) > 1 && lua_istable(L, 1))
    bv_host_charge(L, luaL_len(L, 1));
  return call_replaced(L);
}

/* What stands behind an __index written in C would be no step. */
static int safe_sort(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  bv_host_charge(L, luaL_len(L, 1));
  return call_replaced(L);
}

static int safe_concat(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_Integer from = luaL_optinteger(L, 3, 1);
  lua_Integer to =
      lua_isnoneornil(L, 4) ? luaL_len(L, 1) : luaL_checkinteger(L, 4);
  if (to >= from)
    bv_host_charge(L,
                   from > 0 || to < INT64_MAX + from ? to - from : INT64_MAX);
  return call_replaced(L);
}

/* A search goes through its subject at least once. */
static int safe_find(lua_State *L) {
  bv_host_charge(L, (int64_t) lua_rawlen(L, 1));
  return call_replaced(L);
}

static int safe_move(lua_State *L) {
  lua_Integer from = luaL_checkinteger(L, 2), to = luaL_checkinteger(L, 3);
  if (to >= from)
    bv_host_charge(L,
                   from > 0 || to < INT64_MAX + from ? to - from : INT64_MAX);
  return call_replaced(L);
}

const luaL_Reg bv_safe_base[] = {{"pcall", safe_pcall},
                                 {"xpcall", safe_xpcall},
                                 {"setmetatable", safe_setmetatable},
                                 {"pairs", bv_ordered_pairs},
                                 {"next", bv_ordered_next},
                                 {"tostring", safe_tostring},
                                 {"print", safe_print},
                                 {"require", bv_loader_require},
                                 {NULL, NULL}};
const luaL_Reg bv_safe_math[] = {
    {"random", safe_random}, {"randomseed", safe_randomseed}, {NULL, NULL}};
const luaL_Reg bv_safe_string[] = {
    {"rep", safe_rep},    {"format", safe_format}, {"find", safe_find},
    {"match", safe_find}, {"gmatch", safe_find},   {"gsub", safe_find},
    {NULL, NULL}};
const luaL_Reg bv_safe_table[] = {
    {"insert", safe_shift}, {"remove", safe_shift},  {"move", safe_move},
    {"sort", safe_sort},    {"concat", safe_concat}, {NULL, NULL}};
