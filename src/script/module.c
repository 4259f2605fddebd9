/* SPDX-License-Identifier: MIT */
#include "script/module.h"

#include <lauxlib.h>
#include <string.h>

#include "base/text.h"

static const bv_module units = {
    .name = "units",
    .meaning =
        "multipliers to SI units, as in 33 * units.uF: p, n, u, m, none, "
        "k or M before F, H, V, A, W, J, s, Hz, ohm, C, T, m; cm; um2, "
        "mm2, cm2, m2; mm3, cm3, m3; g, kg; minute, hour; percent",
    .in_lua = true};

static const bv_function case_functions[] = {
    {"product", NULL, "...: any[]", "table[]",
     "cases for a sweep: lists of a name and its numbers or texts; a case for "
     "each combination of one value a list, the last list changing fastest, "
     "named \"supply 12, target 600\" and so on, with the values as fields",
     "cases.product({ \"supply\", 12, 24 }, { \"target\", 600, 1500 })",
     "cases.product { \"supply\" }",
     "cases.product: axis 1: expected { name, value, … }, found a list of 1"},
    {0}};

static const bv_module cases = {.name = "cases",
                                .meaning = "lists of cases for a sweep",
                                .in_lua = true,
                                .functions = case_functions};

enum { MODULES = 7 };

const bv_module *const bv_modules[MODULES] = {
    &bv_module_charger,
    &bv_module_magnetics,
    &bv_module_insulation,
    &bv_module_catalogue,
    &bv_module_space,
    &units,
    &cases,
};
const size_t bv_module_count = MODULES;

static const char prefix[] = "brimvolt.";

const bv_module *bv_module_find(const char *name) {
  size_t length = strlen(prefix);
  if (strncmp(name, prefix, length) != 0)
    return NULL;
  for (size_t i = 0; i < bv_module_count; i++)
    if (strcmp(bv_modules[i]->name, name + length) == 0 &&
        !bv_modules[i]->in_lua)
      return bv_modules[i];
  return NULL;
}

/* Pushes "; known are …". */
static const char *push_known(lua_State *L, const bv_module *module) {
  luaL_Buffer text;
  luaL_buffinit(L, &text);
  luaL_addstring(&text, "; known are");
  const char *between = " ";
  for (const bv_function *each = module->functions; each->name; each++) {
    luaL_addstring(&text, between);
    luaL_addstring(&text, each->name);
    between = ", ";
  }
  for (size_t i = 0; i < module->formula_count; i++) {
    luaL_addstring(&text, between);
    luaL_addstring(&text, module->formulas[i].name);
    between = ", ";
  }
  luaL_pushresult(&text);
  return lua_tostring(L, -1);
}

/* Raises for a name that the module, upvalue 1, doesn't have. */
static int refuse_name(lua_State *L) {
  const bv_module *module = lua_touserdata(L, lua_upvalueindex(1));
  const char *name = luaL_tolstring(L, 2, NULL);
  bv_nearest nearest = bv_nearest_begin(name);
  for (const bv_function *each = module->functions; each->name; each++)
    bv_nearest_offer(&nearest, each->name);
  for (size_t i = 0; i < module->formula_count; i++)
    bv_nearest_offer(&nearest, module->formulas[i].name);
  const char *hint =
      nearest.best ? lua_pushfstring(L, "; did you mean \"%s\"?", nearest.best)
                   : push_known(L, module);
  return luaL_error(L, "%s: no function \"%s\"%s", module->name, name, hint);
}

static void guard_names(lua_State *L, const bv_module *module) {
  lua_newtable(L);
  lua_pushlightuserdata(L, (void *) module);
  lua_pushcclosure(L, refuse_name, 1);
  lua_setfield(L, -2, "__index");
  lua_setmetatable(L, -2);
}

void bv_module_push(lua_State *L, const bv_module *module) {
  if (module->prepare)
    module->prepare(L);
  lua_newtable(L);
  for (const bv_function *each = module->functions; each->name; each++) {
    lua_pushcfunction(L, each->call);
    lua_setfield(L, -2, each->name);
  }
  for (size_t i = 0; i < module->formula_count; i++) {
    bv_formula_push(L, &module->formulas[i], module->name);
    lua_setfield(L, -2, module->formulas[i].name);
  }
  guard_names(L, module);
}

const char *bv_module_suggest(lua_State *L, const char *name) {
  bv_nearest nearest = bv_nearest_begin(name);
  for (size_t i = 0; i < bv_module_count; i++)
    bv_nearest_offer(&nearest,
                     lua_pushfstring(L, "%s%s", prefix, bv_modules[i]->name));
  if (!nearest.best)
    return lua_pushliteral(L, "");
  return lua_pushfstring(L, "; did you mean \"%s\"?", nearest.best);
}
