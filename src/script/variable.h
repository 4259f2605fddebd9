/* SPDX-License-Identifier: MIT */
/* What `brimvolt.space` makes: the description of one variable. */
#ifndef BV_SCRIPT_VARIABLE_H
#define BV_SCRIPT_VARIABLE_H

#include "script/object.h"
#include "search/space.h"

/* The object's struct is a bv_variable without name. Its user value is the list
 * of a choice's values, followed at [0] by the list of their labels. */
extern const bv_object_type bv_variable_type;

/* Pushes the list of values (labels at [0]) of the choice at index, or nil. */
int bv_variable_push_values(lua_State *L, int index);

#endif
