/* SPDX-License-Identifier: MIT */
/* The functions of brimvolt.charger that take a circuit: a table of its fields,
 * or a design, whose circuit it is. */
#ifndef BV_SCRIPT_CHARGER_CIRCUIT_H
#define BV_SCRIPT_CHARGER_CIRCUIT_H

#include <lua.h>

#include "script/formula.h"

int bv_charger_ideal(lua_State *L);
int bv_charger_envelope(lua_State *L);
int bv_charger_cycles(lua_State *L);
int bv_charger_ways(lua_State *L);

/* These two take a design alone. */
int bv_charger_verify(lua_State *L);
int bv_charger_circuit(lua_State *L);

/* charger.ladder. */
extern const bv_formula bv_charger_ladder;

#endif
