/* SPDX-License-Identifier: MIT */
/* Checked reads of Lua values into structs by their tables of fields. All of
 * these raise a Lua error that names the place (`what`, then the field), what
 * was expected with unit and range, what was found, and the nearest name. */
#ifndef BV_SCRIPT_FIELDS_H
#define BV_SCRIPT_FIELDS_H

#include <lua.h>
#include <stdbool.h>

#include "base/field.h"

/* Pushes the table name -> position (from 1) of a table of fields; made once a
 * state. */
void bv_fields_push_positions(lua_State *L, const bv_fields *fields);

/* Pushes a word for the value at index: a string ("abc"), a table, 3.5. */
const char *bv_fields_push_found(lua_State *L, int index);

/* Pushes a clause with the field's range and unit: "a number from 1 to 5 V". */
const char *bv_fields_push_expected(lua_State *L, const bv_field *field);

/* Pushes "; did you mean …?" with the field nearest to name, or the list of
 * all names, or where it is told if they are many. */
const char *bv_fields_push_suggestion(lua_State *L, bv_fields fields,
                                      const char *name);

/* Reads the value at index into one field of the struct at base. */
void bv_fields_set(lua_State *L, int index, const bv_field *field, void *base,
                   const char *what);

/* Reads the table at index into the struct at base, which holds defaults
 * already. positions is the stack index of what bv_fields_push_positions
 * pushed. Keys that are no field go to `other` (value at the top of the stack,
 * which it leaves there), which returns false where it doesn't know the key
 * either; NULL knows none. */
typedef bool (*bv_fields_other)(lua_State *L, const char *name, void *base);
void bv_fields_read(lua_State *L, int index, int positions,
                    const bv_fields *fields, void *base, bv_fields_other other,
                    const char *what);

/* Raises where a number without default (NAN) was left out. */
void bv_fields_require(lua_State *L, bv_fields fields, const void *base,
                       const char *what);

/* Pushes the value of a field of the struct at base. */
void bv_fields_push(lua_State *L, const bv_field *field, const void *base);

#endif
