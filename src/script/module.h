/* SPDX-License-Identifier: MIT */
/* The modules that the program gives to scripts: `require "brimvolt.NAME"`. */
#ifndef BV_SCRIPT_MODULE_H
#define BV_SCRIPT_MODULE_H

#include <lua.h>
#include <stdbool.h>
#include <stddef.h>

#include "script/formula.h"

/* A function written for Lua, or in Lua (call NULL); a list ends with a NULL
 * name. */
typedef struct bv_function {
  const char *name;
  lua_CFunction call;
  const char *parameters; /* as editors want them: "lo: number, hi: number" */
  const char *returns;    /* a type: "brimvolt.job" */
  const char *meaning;
  const char *example; /* an expression that a test runs */
  const char *wrong;   /* one that is refused, and what is raised */
  const char *error;
} bv_function;

typedef struct bv_module {
  const char *name; /* "space" */
  const char *meaning;
  bool in_lua;                  /* written in Lua, lib/brimvolt/NAME.lua */
  const bv_function *functions; /* NULL: none */
  const bv_formula *formulas;
  size_t formula_count;
  void (*prepare)(lua_State *L); /* at the first require; NULL: nothing */
} bv_module;

extern const bv_module bv_module_charger, bv_module_magnetics,
    bv_module_insulation, bv_module_catalogue, bv_module_space;

/* All of them, in the order of the reference. */
extern const bv_module *const bv_modules[];
extern const size_t bv_module_count;

/* The module that C provides under a name ("brimvolt.space"), or NULL. */
const bv_module *bv_module_find(const char *name);

/* Pushes the table of a module. */
void bv_module_push(lua_State *L, const bv_module *module);

/* Pushes and returns "; did you mean …?" with the module nearest to name, or
 * "". */
const char *bv_module_suggest(lua_State *L, const char *name);

#endif
