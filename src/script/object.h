/* SPDX-License-Identifier: MIT */
/* Objects: structs of the models as scripts see them. A field is read by its
 * name straight from the struct; nothing is copied into tables. Every full
 * userdata of a state begins with bv_object, so that telling what one is costs
 * a comparison. */
#ifndef BV_SCRIPT_OBJECT_H
#define BV_SCRIPT_OBJECT_H

#include <lua.h>
#include <stdbool.h>

#include "base/field.h"

typedef struct bv_object_type {
  const char *name; /* "design" */
  const bv_fields *fields;
  size_t size; /* of the struct */
  bool open;   /* scripts may add entries of their own */
  /* Pushes a value for a name that is no field, or returns false. NULL: none.
   */
  bool (*extra)(lua_State *L, const void *data, const char *name);
} bv_object_type;

typedef struct bv_object {
  const bv_object_type *type;
  void *data; /* in the userdata itself, or owned elsewhere */
} bv_object;

/* Pushes an object with room for its own struct, all bytes zero, and returns
 * it. */
void *bv_object_push(lua_State *L, const bv_object_type *type);

/* Pushes an object whose struct lives elsewhere, longer than the state. */
void bv_object_push_shared(lua_State *L, const bv_object_type *type,
                           void *data);

/* The struct of the object at index, or NULL where it is none of this type. */
void *bv_object_test(lua_State *L, int index, const bv_object_type *type);

/* The object at index, or NULL. */
bv_object *bv_object_any(lua_State *L, int index);

/* Pushes the entry a script added to an open object, or nil. Returns its type.
 */
int bv_object_push_own(lua_State *L, int index, const char *name);

/* Pushes the table of a script's own entries, or nil where it has none. */
int bv_object_push_owns(lua_State *L, int index);

#endif
