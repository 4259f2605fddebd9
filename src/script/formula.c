/* SPDX-License-Identifier: MIT */
#include "script/formula.h"

#include <lauxlib.h>

#include "script/fields.h"

static void push_answer(lua_State *L, const bv_answer *answer, bv_kind kind) {
  if (answer->text)
    lua_pushstring(L, answer->text);
  else if (kind == BV_FLAG)
    lua_pushboolean(L, answer->number != 0);
  else
    lua_pushnumber(L, answer->number);
}

static void push_answers(lua_State *L, const bv_formula *formula,
                         const bv_answer *answers) {
  if (formula->results.count == 1) {
    push_answer(L, answers, formula->results.list[0].kind);
    return;
  }
  lua_createtable(L, 0, (int) formula->results.count);
  for (size_t i = 0; i < formula->results.count; i++) {
    push_answer(L, &answers[i], formula->results.list[i].kind);
    lua_setfield(L, -2, formula->results.list[i].name);
  }
}

/* upvalue 1: formula, 2: its name in messages */
static int call_formula(lua_State *L) {
  const bv_formula *formula = lua_touserdata(L, lua_upvalueindex(1));
  const char *what = lua_tostring(L, lua_upvalueindex(2));
  double slots[BV_FORMULA_ARGUMENTS_MOST], numbers[BV_FORMULA_ARGUMENTS_MOST];
  bv_answer answers[BV_FORMULA_RESULTS_MOST] = {{0, NULL}};
  bv_field_defaults(formula->arguments, slots);
  bv_fields_push_positions(L, &formula->arguments);
  bv_fields_read(L, 1, lua_gettop(L), &formula->arguments, slots, NULL, what);
  bv_fields_require(L, formula->arguments, slots, what);
  for (size_t i = 0; i < formula->arguments.count; i++)
    numbers[i] = bv_field_number(&formula->arguments.list[i], slots);
  formula->compute(numbers, answers);
  push_answers(L, formula, answers);
  return 1;
}

void bv_formula_push(lua_State *L, const bv_formula *formula,
                     const char *module) {
  lua_pushlightuserdata(L, (void *) formula);
  lua_pushfstring(L, "%s.%s", module, formula->name);
  lua_pushcclosure(L, call_formula, 2);
}
