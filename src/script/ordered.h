/* SPDX-License-Identifier: MIT */
/* Ways through a table that are the same in every run, in the place of Lua's
 * own, which follow seeds and addresses: numbers, then texts, in rising order.
 * Keys of other types come last, in no order. */
#ifndef BV_SCRIPT_ORDERED_H
#define BV_SCRIPT_ORDERED_H

#include <lauxlib.h>

/* pairs; upvalue 1 is Lua's own, for what isn't a plain table. */
int bv_ordered_pairs(lua_State *L);

/* next: takes as many steps as the table has entries. */
int bv_ordered_next(lua_State *L);

#endif
