/* SPDX-License-Identifier: MIT */
#include "script/ordered.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "script/host.h"

/* A key of a table: a string (anchored in the table) or a number. */
typedef struct key {
  const char *text; /* NULL: a number */
  size_t length;
  double number;
  lua_Integer whole;
  int is_whole;
} key;

/* Texts by their bytes, which may be NUL too. */
static int compare_texts(const key *a, const key *b) {
  size_t shared = a->length < b->length ? a->length : b->length;
  int order = memcmp(a->text, b->text, shared);
  return order ? order : (a->length > b->length) - (a->length < b->length);
}

static int compare_keys(const void *left, const void *right) {
  const key *a = left, *b = right;
  if (a->text && b->text)
    return compare_texts(a, b);
  if (a->text || b->text)
    return a->text ? 1 : -1;
  if (a->is_whole && b->is_whole)
    return (a->whole > b->whole) - (a->whole < b->whole);
  return (a->number > b->number) - (a->number < b->number);
}

static bool has_order(lua_State *L, int index) {
  int type = lua_type(L, index);
  return type == LUA_TNUMBER || type == LUA_TSTRING;
}

static key take_key(lua_State *L, int index) {
  key taken = {0};
  if (lua_type(L, index) == LUA_TSTRING)
    taken.text = lua_tolstring(L, index, &taken.length);
  else {
    taken.number = lua_tonumber(L, index);
    taken.is_whole = lua_isinteger(L, index);
    taken.whole = lua_tointeger(L, index);
  }
  return taken;
}

static void push_key(lua_State *L, const key *taken) {
  if (taken->text)
    lua_pushlstring(L, taken->text, taken->length);
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
    if (has_order(L, -2))
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

int bv_ordered_pairs(lua_State *L) {
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

/* Pushes the first key of a table that has no order, behind the one at the top
 * where `go_on`, which is popped; nil where there is none. */
static void push_other(lua_State *L, int table, bool go_on) {
  if (!go_on)
    lua_pushnil(L);
  while (lua_next(L, table)) {
    lua_pop(L, 1);
    if (!has_order(L, -1))
      return;
  }
  lua_pushnil(L);
}

/* Finds the least key above `last` (NULL: the least of all). */
static bool find_above(lua_State *L, int table, const key *last, key *found) {
  bool any = false;
  int64_t seen = 0;
  for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1), seen++) {
    if (!has_order(L, -2))
      continue;
    key one = take_key(L, -2);
    if ((last && compare_keys(&one, last) <= 0) ||
        (any && compare_keys(&one, found) >= 0))
      continue;
    *found = one;
    any = true;
  }
  bv_host_charge(L, seen);
  return any;
}

int bv_ordered_next(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
  lua_settop(L, 2);
  bool is_first = lua_isnil(L, 2), is_other = !is_first && !has_order(L, 2);
  key last = {0}, found;
  if (!is_first && !is_other)
    last = take_key(L, 2);
  if (!is_other && find_above(L, 1, is_first ? NULL : &last, &found))
    push_key(L, &found);
  else
    push_other(L, 1, is_other);
  if (lua_isnil(L, -1))
    return 1;
  lua_pushvalue(L, -1);
  lua_rawget(L, 1);
  return 2;
}
