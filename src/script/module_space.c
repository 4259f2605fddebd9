/* SPDX-License-Identifier: MIT */
/* brimvolt.space: descriptions of variables. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "script/fields.h"
#include "script/module.h"
#include "script/variable.h"

/* More choices than these are a slip, not a study. */
enum { CHOICES_MOST = 10000 };

#define END(member, meaning)                                                   \
  {                                                                            \
#member, "", meaning, BV_NUMBER, offsetof(bv_variable, member), -HUGE_VAL, \
        HUGE_VAL, 0, NULL                                                      \
  }
static const bv_field variable_list[] = {
    END(lo, "least value, of a choice the first index, 0"),
    END(hi, "greatest value, of a choice the last index"),
    END(step, "of a step variable"),
};
static const bv_fields variable_fields = {variable_list, 3};
const bv_object_type bv_variable_type = {.name = "variable",
                                         .fields = &variable_fields,
                                         .size = sizeof(bv_variable)};

int bv_variable_push_values(lua_State *L, int index) {
  return lua_getiuservalue(L, index, 1);
}

/* A finite argument, whole where asked. */
static double bound(lua_State *L, int index, const char *name,
                    const char *function, bool whole) {
  double value =
      lua_type(L, index) == LUA_TNUMBER ? lua_tonumber(L, index) : (double) NAN;
  if (!isfinite(value) || (whole && value != floor(value)))
    luaL_error(L, "space.%s: %s: expected a finite%s number, found %s",
               function, name, whole ? " whole" : "",
               bv_fields_push_found(L, index));
  return value;
}

static int push_range(lua_State *L, const char *function, bv_scale scale,
                      bool whole) {
  double lo = bound(L, 1, "lo", function, whole);
  double hi = bound(L, 2, "hi", function, whole);
  if (lo > hi)
    luaL_error(L, "space.%s: expected lo <= hi, found %s and %s", function,
               bv_fields_push_found(L, 1), bv_fields_push_found(L, 2));
  if (!isfinite(scale == BV_SCALE_LOG ? hi / lo : hi - lo))
    luaL_error(L,
               "space.%s: expected a range whose width is a number, found "
               "%s and %s",
               function, bv_fields_push_found(L, 1),
               bv_fields_push_found(L, 2));
  bv_variable *made = bv_object_push(L, &bv_variable_type);
  *made = (bv_variable){.scale = scale, .lo = lo, .hi = hi};
  return 1;
}

static int space_real(lua_State *L) {
  return push_range(L, "real", BV_SCALE_REAL, false);
}

static int space_log(lua_State *L) {
  if (bound(L, 1, "lo", "log", false) <= 0)
    luaL_error(L, "space.log: lo: expected a number above 0, found %s",
               bv_fields_push_found(L, 1));
  return push_range(L, "log", BV_SCALE_LOG, false);
}

/* The search counts the values of a grid. */
static void check_values(lua_State *L, const char *function, double by) {
  const bv_variable *made = bv_object_test(L, -1, &bv_variable_type);
  if ((made->hi - made->lo) / by >= BV_LEVELS_MOST)
    luaL_error(L, "space.%s: expected at most %d values, found more", function,
               BV_LEVELS_MOST);
}

static int space_whole(lua_State *L) {
  push_range(L, "whole", BV_SCALE_WHOLE, true);
  check_values(L, "whole", 1);
  return 1;
}

static int space_step(lua_State *L) {
  double by = bound(L, 3, "by", "step", false);
  if (by <= 0)
    luaL_error(L, "space.step: by: expected a number above 0, found %s",
               bv_fields_push_found(L, 3));
  push_range(L, "step", BV_SCALE_STEP, false);
  check_values(L, "step", by);
  bv_variable *made = bv_object_test(L, -1, &bv_variable_type);
  made->step = by;
  return 1;
}

/* Pushes the label of the value at index: what a point on the command line and
 * a row of the front show. */
static void push_label(lua_State *L, int index, const char *function) {
  char number[BV_NUMBER_SIZE];
  const bv_object *object = bv_object_any(L, index);
  const bv_field *name =
      object ? bv_field_find(*object->type->fields, "name") : NULL;
  if (lua_type(L, index) == LUA_TSTRING && lua_rawlen(L, index) > 0)
    lua_pushvalue(L, index);
  else if (lua_type(L, index) == LUA_TNUMBER &&
           isfinite(lua_tonumber(L, index)))
    lua_pushstring(L, bv_format_number(number, lua_tonumber(L, index)));
  else if (lua_isboolean(L, index))
    lua_pushstring(L, lua_toboolean(L, index) ? "true" : "false");
  else if (name)
    lua_pushstring(L, bv_field_text(name, object->data));
  else
    luaL_error(L,
               "space.%s: expected texts, numbers, true, false or parts, "
               "found %s",
               function, bv_fields_push_found(L, index));
}

/* Copies list entry i to values and its label to labels; `seen` maps labels to
 * true. */
static void add_choice(lua_State *L, lua_Integer i, int values, int labels,
                       int seen, const char *function) {
  lua_rawgeti(L, 1, i);
  push_label(L, lua_gettop(L), function);
  lua_pushvalue(L, -1);
  if (lua_rawget(L, seen) != LUA_TNIL)
    luaL_error(L, "space.%s: expected different choices, found \"%s\" twice",
               function, lua_tostring(L, -2));
  lua_pop(L, 1);
  lua_pushvalue(L, -1);
  lua_pushboolean(L, 1);
  lua_rawset(L, seen);
  lua_rawseti(L, labels, i);
  lua_rawseti(L, values, i);
}

static int push_choice(lua_State *L, const char *function, bv_scale scale) {
  lua_Integer count = lua_istable(L, 1) ? (lua_Integer) lua_rawlen(L, 1) : 0;
  if (count > CHOICES_MOST)
    luaL_error(L, "space.%s: expected a list of 1 to %d choices, found %I",
               function, CHOICES_MOST, (LUAI_UACINT) count);
  if (count < 1)
    luaL_error(L, "space.%s: expected a list of 1 to %d choices, found %s",
               function, CHOICES_MOST,
               lua_istable(L, 1) ? "an empty list"
                                 : bv_fields_push_found(L, 1));
  lua_settop(L, 1);
  bv_variable *made = bv_object_push(L, &bv_variable_type);
  *made = (bv_variable){.scale = scale, .hi = (double) (count - 1)};
  lua_createtable(L, (int) count, 1);
  lua_createtable(L, (int) count, 0);
  lua_newtable(L);
  for (lua_Integer i = 1; i <= count; i++)
    add_choice(L, i, 3, 4, 5, function);
  lua_settop(L, 4);
  lua_rawseti(L, 3, 0);
  lua_setiuservalue(L, 2, 1);
  return 1;
}

static int space_choice(lua_State *L) {
  return push_choice(L, "choice", BV_SCALE_CHOICE);
}

static int space_ordered(lua_State *L) {
  return push_choice(L, "ordered", BV_SCALE_ORDERED);
}

static const bv_function functions[] = {
    {"real", space_real, "lo: number, hi: number", "brimvolt.variable",
     "any number from lo to hi, searched linearly", "space.real(0, 1)",
     "space.real(1, 0)", "space.real: expected lo <= hi, found 1 and 0"},
    {"log", space_log, "lo: number, hi: number", "brimvolt.variable",
     "any number from lo > 0 to hi, searched by its logarithm: for what spans "
     "decades",
     "space.log(40e3, 300e3)", "space.log(0, 1)",
     "space.log: lo: expected a number above 0, found 0"},
    {"whole", space_whole, "lo: integer, hi: integer", "brimvolt.variable",
     "whole numbers from lo to hi", "space.whole(1, 6)", "space.whole(1, 6.5)",
     "space.whole: hi: expected a finite whole number, found 6.5"},
    {"step", space_step, "lo: number, hi: number, by: number",
     "brimvolt.variable", "lo, lo + by, … up to hi", "space.step(0, 1, 0.25)",
     "space.step(0, 1, 0)",
     "space.step: by: expected a number above 0, found 0"},
    {"choice", space_choice, "choices: any[]", "brimvolt.variable",
     "one of a list of texts, numbers, flags or parts",
     "space.choice { \"single\", \"doubler\" }", "space.choice {}",
     "space.choice: expected a list of 1 to 10000 choices, found an empty "
     "list"},
    {"ordered", space_ordered, "choices: any[]", "brimvolt.variable",
     "one of a list in which neighbours are alike, as sizes of one family: the "
     "search may go step by step",
     "space.ordered { 10, 22, 47 }", "space.ordered { 10, 22, 10 }",
     "space.ordered: expected different choices, found \"10\" twice"},
    {0}};

const bv_module bv_module_space = {.name = "space",
                                   .meaning = "the variables of a study",
                                   .functions = functions};
