/* SPDX-License-Identifier: MIT */
#include "script/object.h"

#include <lauxlib.h>
#include <stddef.h>
#include <string.h>

#include "script/fields.h"

typedef union bv_inline_object {
  bv_object head;
  max_align_t align;
} bv_inline_object;

/* upvalue 1: name -> position; stack: object, name */
static int object_index(lua_State *L) {
  bv_object *object = lua_touserdata(L, 1);
  lua_pushvalue(L, 2);
  if (lua_rawget(L, lua_upvalueindex(1)) == LUA_TNUMBER) {
    size_t position = (size_t) lua_tointeger(L, -1);
    bv_fields_push(L, &object->type->fields->list[position - 1], object->data);
    return 1;
  }
  const char *name = luaL_checkstring(L, 2);
  if (object->type->extra && object->type->extra(L, object->data, name))
    return 1;
  if (object->type->open && bv_object_push_own(L, 1, name) != LUA_TNIL)
    return 1;
  return luaL_error(L, "%s has no field \"%s\"%s", object->type->name, name,
                    bv_fields_push_suggestion(L, *object->type->fields, name));
}

/* upvalue 1: name -> position; stack: object, name, value */
static int object_newindex(lua_State *L) {
  bv_object *object = lua_touserdata(L, 1);
  const char *name = luaL_checkstring(L, 2);
  bool is_job = strcmp(object->type->name, "job") == 0;
  if (!object->type->open)
    return luaL_error(
        L, "%s.%s: expected no change, a %s is fixed%s", object->type->name,
        name, object->type->name,
        is_job ? "; charger.job(job, { … }) is a copy with changes" : "");
  lua_pushvalue(L, 2);
  if (lua_rawget(L, lua_upvalueindex(1)) != LUA_TNIL)
    return luaL_error(L,
                      "%s.%s: the model computes it; give a result of your "
                      "own another name",
                      object->type->name, name);
  int type = lua_type(L, 3);
  if (type != LUA_TNUMBER && type != LUA_TSTRING && type != LUA_TBOOLEAN &&
      type != LUA_TNIL)
    return luaL_error(L, "%s.%s: expected a number, a text or a flag, found %s",
                      object->type->name, name, bv_fields_push_found(L, 3));
  if (lua_getiuservalue(L, 1, 1) == LUA_TNIL) {
    lua_newtable(L);
    lua_pushvalue(L, -1);
    lua_setiuservalue(L, 1, 1);
  }
  lua_pushvalue(L, 3);
  lua_setfield(L, -2, name);
  return 0;
}

/* The iterator of pairs: fields in their order, then the script's own by name.
 * upvalue 1: object, 2: position, 3: next, 4: own entries */
static int object_next(lua_State *L) {
  bv_object *object = lua_touserdata(L, lua_upvalueindex(1));
  size_t position = (size_t) lua_tointeger(L, lua_upvalueindex(2));
  if (position >= object->type->fields->count)
    return 0;
  const bv_field *field = &object->type->fields->list[position];
  lua_pushinteger(L, (lua_Integer) position + 1);
  lua_replace(L, lua_upvalueindex(2));
  lua_pushstring(L, field->name);
  bv_fields_push(L, field, object->data);
  return 2;
}

static int object_pairs(lua_State *L) {
  lua_pushvalue(L, 1);
  lua_pushinteger(L, 0);
  lua_pushcclosure(L, object_next, 2);
  return 1;
}

static int object_tostring(lua_State *L) {
  bv_object *object = lua_touserdata(L, 1);
  const bv_field *name = bv_field_find(*object->type->fields, "name");
  const char *label = name ? bv_field_text(name, object->data) : NULL;
  if (label)
    lua_pushstring(L, label);
  else
    lua_pushfstring(L, "a %s", object->type->name);
  return 1;
}

/* registry[type] = metatable */
static void push_metatable(lua_State *L, const bv_object_type *type) {
  static const luaL_Reg methods[] = {
      {"__index", object_index}, {"__newindex", object_newindex}, {NULL, NULL}};
  if (lua_rawgetp(L, LUA_REGISTRYINDEX, type) != LUA_TNIL)
    return;
  lua_pop(L, 1);
  lua_newtable(L);
  bv_fields_push_positions(L, type->fields);
  luaL_setfuncs(L, methods, 1);
  lua_pushcfunction(L, object_pairs);
  lua_setfield(L, -2, "__pairs");
  lua_pushcfunction(L, object_tostring);
  lua_setfield(L, -2, "__tostring");
  lua_pushstring(L, type->name);
  lua_pushvalue(L, -1);
  lua_setfield(L, -3, "__name");
  lua_setfield(L, -2, "__metatable");
  lua_pushvalue(L, -1);
  lua_rawsetp(L, LUA_REGISTRYINDEX, type);
}

static bv_object *push_block(lua_State *L, const bv_object_type *type,
                             size_t size) {
  bv_object *object = lua_newuserdatauv(L, size, 1);
  object->type = type;
  push_metatable(L, type);
  lua_setmetatable(L, -2);
  return object;
}

void *bv_object_push(lua_State *L, const bv_object_type *type) {
  bv_object *object =
      push_block(L, type, sizeof(bv_inline_object) + type->size);
  object->data = (char *) object + sizeof(bv_inline_object);
  memset(object->data, 0, type->size);
  return object->data;
}

void bv_object_push_shared(lua_State *L, const bv_object_type *type,
                           void *data) {
  push_block(L, type, sizeof(bv_object))->data = data;
}

bv_object *bv_object_any(lua_State *L, int index) {
  return lua_type(L, index) == LUA_TUSERDATA ? lua_touserdata(L, index) : NULL;
}

void *bv_object_test(lua_State *L, int index, const bv_object_type *type) {
  bv_object *object = bv_object_any(L, index);
  return object && object->type == type ? object->data : NULL;
}

int bv_object_push_owns(lua_State *L, int index) {
  bv_object *object = lua_touserdata(L, index);
  if (object->type->open)
    return lua_getiuservalue(L, index, 1);
  lua_pushnil(L);
  return LUA_TNIL;
}

int bv_object_push_own(lua_State *L, int index, const char *name) {
  if (bv_object_push_owns(L, index) != LUA_TTABLE)
    return LUA_TNIL;
  int type = lua_getfield(L, -1, name);
  lua_remove(L, -2);
  return type;
}
