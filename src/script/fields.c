/* SPDX-License-Identifier: MIT */
#include "script/fields.h"

#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "base/text.h"

/* registry[&positions][lightuserdata of fields] = {name = position} */
static const char positions_key = 0;

static void push_all_positions(lua_State *L) {
  if (lua_rawgetp(L, LUA_REGISTRYINDEX, &positions_key) != LUA_TNIL)
    return;
  lua_pop(L, 1);
  lua_newtable(L);
  lua_pushvalue(L, -1);
  lua_rawsetp(L, LUA_REGISTRYINDEX, &positions_key);
}

void bv_fields_push_positions(lua_State *L, const bv_fields *fields) {
  push_all_positions(L);
  if (lua_rawgetp(L, -1, fields) == LUA_TNIL) {
    lua_pop(L, 1);
    lua_createtable(L, 0, (int) fields->count);
    for (size_t i = 0; i < fields->count; i++) {
      lua_pushinteger(L, (lua_Integer) i + 1);
      lua_setfield(L, -2, fields->list[i].name);
    }
    lua_pushvalue(L, -1);
    lua_rawsetp(L, -3, fields);
  }
  lua_remove(L, -2);
}

const char *bv_fields_push_found(lua_State *L, int index) {
  char number[BV_NUMBER_SIZE];
  switch (lua_type(L, index)) {
  case LUA_TNUMBER:
    return lua_pushstring(L, bv_format_number(number, lua_tonumber(L, index)));
  case LUA_TSTRING: {
    const char *text = lua_tostring(L, index);
    return lua_pushfstring(
        L, strlen(text) < 60 ? "the text \"%s\"" : "a long text", text);
  }
  case LUA_TNIL:
  case LUA_TNONE:
    return lua_pushliteral(L, "nothing");
  case LUA_TBOOLEAN:
    return lua_pushstring(L, lua_toboolean(L, index) ? "true" : "false");
  default:
    return lua_pushfstring(L, "a %s", luaL_typename(L, index));
  }
}

static void add_number(luaL_Buffer *text, double value) {
  char number[BV_NUMBER_SIZE];
  luaL_addstring(text, bv_format_number(number, value));
}

static void add_range(luaL_Buffer *text, const bv_field *field) {
  if (isfinite(field->lo) && isfinite(field->hi)) {
    luaL_addstring(text, " from ");
    add_number(text, field->lo);
    luaL_addstring(text, " to ");
    add_number(text, field->hi);
  } else if (isfinite(field->lo)) {
    luaL_addstring(text, " not below ");
    add_number(text, field->lo);
  } else if (isfinite(field->hi)) {
    luaL_addstring(text, " not above ");
    add_number(text, field->hi);
  }
}

static void add_words(luaL_Buffer *text, const char *const *words) {
  luaL_addstring(text, "one of ");
  for (int i = 0; words[i]; i++) {
    luaL_addstring(text, i ? ", \"" : "\"");
    luaL_addstring(text, words[i]);
    luaL_addchar(text, '"');
  }
}

const char *bv_fields_push_expected(lua_State *L, const bv_field *field) {
  luaL_Buffer text;
  luaL_buffinit(L, &text);
  switch (field->kind) {
  case BV_TEXT:
    luaL_addstring(&text, "a short text");
    break;
  case BV_WORD:
    add_words(&text, field->words);
    break;
  case BV_FLAG:
    luaL_addstring(&text, "true or false");
    break;
  default:
    luaL_addstring(&text,
                   field->kind == BV_WHOLE ? "a whole number" : "a number");
    add_range(&text, field);
    if (*field->unit) {
      luaL_addchar(&text, ' ');
      luaL_addstring(&text, field->unit);
    }
  }
  luaL_pushresult(&text);
  return lua_tostring(L, -1);
}

/* More names than this are no help in a message. */
enum { NAMES_MOST = 40 };

const char *bv_fields_push_suggestion(lua_State *L, bv_fields fields,
                                      const char *name) {
  const char *nearest = bv_field_nearest(fields, name);
  if (nearest)
    return lua_pushfstring(L, "; did you mean \"%s\"?", nearest);
  if (fields.count > NAMES_MOST)
    return lua_pushliteral(L, "; \"brimvolt explain --list\" has every name");
  luaL_Buffer text;
  luaL_buffinit(L, &text);
  luaL_addstring(&text, "; known are ");
  for (size_t i = 0; i < fields.count; i++) {
    luaL_addstring(&text, i ? ", " : "");
    luaL_addstring(&text, fields.list[i].name);
  }
  luaL_pushresult(&text);
  return lua_tostring(L, -1);
}

static bool set_number(lua_State *L, int index, const bv_field *field,
                       void *base) {
  if (lua_type(L, index) != LUA_TNUMBER)
    return false;
  double value = lua_tonumber(L, index);
  if (!(value >= field->lo && value <= field->hi))
    return false; /* NaN too */
  if (field->kind == BV_WHOLE && value != floor(value))
    return false;
  bv_field_set_number(field, base, value);
  return true;
}

static bool set_text(lua_State *L, int index, const bv_field *field,
                     void *base) {
  if (lua_type(L, index) != LUA_TSTRING)
    return false;
  size_t length;
  const char *text = lua_tolstring(L, index, &length);
  return length < BV_TEXT_SIZE && strlen(text) == length &&
         bv_field_set_text(field, base, text);
}

static bool set_flag(lua_State *L, int index, const bv_field *field,
                     void *base) {
  if (!lua_isboolean(L, index))
    return false;
  bv_field_set_number(field, base, lua_toboolean(L, index));
  return true;
}

void bv_fields_set(lua_State *L, int index, const bv_field *field, void *base,
                   const char *what) {
  bool done = field->kind == BV_TEXT || field->kind == BV_WORD
                  ? set_text(L, index, field, base)
              : field->kind == BV_FLAG ? set_flag(L, index, field, base)
                                       : set_number(L, index, field, base);
  if (!done)
    luaL_error(L, "%s: %s: expected %s, found %s", what, field->name,
               bv_fields_push_expected(L, field),
               bv_fields_push_found(L, index));
}

static void refuse_key(lua_State *L, int index, const bv_fields *fields,
                       const char *what) {
  if (lua_type(L, index) != LUA_TSTRING)
    luaL_error(L, "%s: expected names, found the key %s", what,
               bv_fields_push_found(L, index));
  const char *name = lua_tostring(L, index);
  luaL_error(L, "%s: unknown name \"%s\"%s", what, name,
             bv_fields_push_suggestion(L, *fields, name));
}

void bv_fields_read(lua_State *L, int index, int positions,
                    const bv_fields *fields, void *base, bv_fields_other other,
                    const char *what) {
  if (!lua_istable(L, index))
    luaL_error(L, "%s: expected a table of names, found %s", what,
               bv_fields_push_found(L, index));
  for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1)) {
    lua_pushvalue(L, -2);
    lua_rawget(L, positions);
    lua_Integer position = lua_tointeger(L, -1);
    lua_pop(L, 1);
    if (position)
      bv_fields_set(L, lua_gettop(L), &fields->list[position - 1], base, what);
    else if (!other || lua_type(L, -2) != LUA_TSTRING ||
             !other(L, lua_tostring(L, -2), base))
      refuse_key(L, lua_gettop(L) - 1, fields, what);
  }
}

static bool left_out(const bv_field *field, const void *base) {
  if (!isnan(field->fallback))
    return false;
  if (field->kind == BV_TEXT)
    return *bv_field_text(field, base) == '\0';
  return isnan(bv_field_number(field, base));
}

void bv_fields_require(lua_State *L, bv_fields fields, const void *base,
                       const char *what) {
  for (size_t i = 0; i < fields.count; i++)
    if (left_out(&fields.list[i], base))
      luaL_error(
          L, "%s: %s is missing: expected %s (%s)", what, fields.list[i].name,
          bv_fields_push_expected(L, &fields.list[i]), fields.list[i].meaning);
}

void bv_fields_push(lua_State *L, const bv_field *field, const void *base) {
  if (field->kind == BV_TEXT || field->kind == BV_WORD)
    lua_pushstring(L, bv_field_text(field, base));
  else if (field->kind == BV_FLAG)
    lua_pushboolean(L, bv_field_number(field, base) != 0);
  else
    lua_pushnumber(L, bv_field_number(field, base));
}
