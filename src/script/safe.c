/* SPDX-License-Identifier: MIT */
#include "script/safe.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "script/host.h"
#include "script/loader.h"
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

/* A key of a table: a string (anchored in the table) or a number. */
typedef struct key {
  const char *text; /* NULL: a number */
  double number;
  lua_Integer whole;
  int is_whole;
} key;

static int compare_keys(const void *left, const void *right) {
  const key *a = left, *b = right;
  if (a->text && b->text)
    return strcmp(a->text, b->text);
  if (a->text || b->text)
    return a->text ? 1 : -1;
  if (a->is_whole && b->is_whole)
    return (a->whole > b->whole) - (a->whole < b->whole);
  return (a->number > b->number) - (a->number < b->number);
}

static key take_key(lua_State *L, int index) {
  key taken = {0};
  if (lua_type(L, index) == LUA_TSTRING)
    taken.text = lua_tostring(L, index);
  else {
    taken.number = lua_tonumber(L, index);
    taken.is_whole = lua_isinteger(L, index);
    taken.whole = lua_tointeger(L, index);
  }
  return taken;
}

static void push_key(lua_State *L, const key *taken) {
  if (taken->text)
    lua_pushstring(L, taken->text);
  else if (taken->is_whole)
    lua_pushinteger(L, taken->whole);
  else
    lua_pushnumber(L, taken->number);
}

/* upvalues: table, keys, position */
static int next_in_order(lua_State *L) {
  lua_Integer at = lua_tointeger(L, lua_upvalueindex(3));
  for (;;) {
    lua_pushinteger(L, ++at);
    lua_replace(L, lua_upvalueindex(3));
    lua_settop(L, 0);
    if (lua_rawgeti(L, lua_upvalueindex(2), at) == LUA_TNIL)
      return 1;
    lua_pushvalue(L, -1);
    if (lua_rawget(L, lua_upvalueindex(1)) != LUA_TNIL)
      return 2;
  }
}

static size_t count_keys(lua_State *L, int table) {
  size_t count = 0;
  for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1))
    count++;
  return count;
}

/* Takes the numbers and strings of a table's keys into `sorted`, the others
 * into the list at the top, from `count` down. Returns how many were taken. */
static size_t take_keys(lua_State *L, int table, size_t count, key *sorted) {
  int list = lua_gettop(L);
  size_t taken = 0;
  for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1)) {
    int type = lua_type(L, -2);
    if (type == LUA_TNUMBER || type == LUA_TSTRING)
      sorted[taken++] = take_key(L, -2);
    else {
      lua_pushvalue(L, -2);
      lua_rawseti(L, list, (lua_Integer) count--);
    }
  }
  return taken;
}

/* Pushes the list of a table's keys in order. */
static void push_keys(lua_State *L, int table) {
  size_t count = count_keys(L, table);
  bv_host_charge(L, 8 * (int64_t) count);
  key *sorted = lua_newuserdatauv(L, (count + 1) * sizeof *sorted, 0);
  lua_createtable(L, (int) count, 0);
  size_t taken = take_keys(L, table, count, sorted);
  qsort(sorted, taken, sizeof *sorted, compare_keys);
  for (size_t i = 0; i < taken; i++) {
    push_key(L, &sorted[i]);
    lua_rawseti(L, -2, (lua_Integer) i + 1);
  }
  lua_remove(L, -2);
}

/* pairs goes through numbers, then strings, in rising order: the order of Lua's
 * own changes from run to run. Keys of other types come last, in no order. */
static int safe_pairs(lua_State *L) {
  luaL_checkany(L, 1);
  lua_settop(L, 1);
  if (!lua_istable(L, 1) || luaL_getmetafield(L, 1, "__pairs") != LUA_TNIL) {
    lua_pushvalue(L, lua_upvalueindex(1));
    lua_pushvalue(L, 1);
    lua_call(L, 1, 3);
    return 3;
  }
  lua_pushvalue(L, 1);
  push_keys(L, 1);
  lua_pushinteger(L, 0);
  lua_pushcclosure(L, next_in_order, 3);
  return 1;
}

static void print_clean(lua_State *L, const char *text, size_t length) {
  bv_host *host = bv_host_of(L);
  for (size_t i = 0; i < length && host->printed < PRINT_MOST; i++) {
    putc(bv_traceback_letter(text[i]), stderr);
    host->printed++;
  }
}

static int safe_print(lua_State *L) {
  for (int i = 1, count = lua_gettop(L); i <= count; i++) {
    size_t length;
    const char *text = luaL_tolstring(L, i, &length);
    if (i > 1)
      print_clean(L, "\t", 1);
    print_clean(L, text, length);
    lua_pop(L, 1);
  }
  print_clean(L, "\n", 1);
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

/* insert and remove shift as many elements as the table says it has. */
static int safe_shift(lua_State *L) {
  if (lua_gettop(L) > 1 && lua_istable(L, 1))
    bv_host_charge(L, luaL_len(L, 1));
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
                                 {"pairs", safe_pairs},
                                 {"print", safe_print},
                                 {"require", bv_loader_require},
                                 {NULL, NULL}};
const luaL_Reg bv_safe_math[] = {
    {"random", safe_random}, {"randomseed", safe_randomseed}, {NULL, NULL}};
const luaL_Reg bv_safe_string[] = {{"rep", safe_rep}, {NULL, NULL}};
const luaL_Reg bv_safe_table[] = {{"insert", safe_shift},
                                  {"remove", safe_shift},
                                  {"move", safe_move},
                                  {NULL, NULL}};
