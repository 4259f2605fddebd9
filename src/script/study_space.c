/* SPDX-License-Identifier: MIT */
/* Reads what a study varies: order, variables, start; tells its labels. */
#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/utf8.h"
#include "script/fields.h"
#include "script/study_state.h"
#include "script/variable.h"

/* Every entry of the list at index must be a text; returns its length. */
static lua_Integer check_texts(lua_State *L, bv_study *study, int index,
                               const char *name) {
  lua_Integer count = bv_study_check_list(L, study, index, name, "names");
  for (lua_Integer i = 1; i <= count; i++) {
    if (lua_rawgeti(L, index, i) != LUA_TSTRING)
      bv_study_fail(L, study, "%s[%I]: expected a name, found %s", name,
                    (LUAI_UACINT) i, bv_fields_push_found(L, lua_gettop(L)));
    lua_pop(L, 1);
  }
  return count;
}

/* study->order becomes a table name -> rank. */
void bv_study_read_order(lua_State *L, bv_study *study, int index) {
  lua_Integer count = check_texts(L, study, index, "order");
  lua_newtable(L);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_rawgeti(L, index, i);
    lua_pushvalue(L, -1);
    if (lua_rawget(L, -3) != LUA_TNIL)
      bv_study_fail(L, study, "order[%I]: \"%s\" was named before",
                    (LUAI_UACINT) i, lua_tostring(L, -2));
    lua_pop(L, 1);
    lua_pushinteger(L, i);
    lua_rawset(L, -3);
  }
  study->order = luaL_ref(L, LUA_REGISTRYINDEX);
}

size_t bv_study_rank(lua_State *L, const bv_study *study, const char *name) {
  if (study->order == LUA_NOREF)
    return SIZE_MAX;
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->order);
  size_t rank = lua_getfield(L, -1, name) == LUA_TNUMBER
                    ? (size_t) lua_tointeger(L, -1)
                    : SIZE_MAX;
  lua_pop(L, 2);
  return rank;
}

/* By insertion: there are tens of names, and ranks come from Lua. */
void bv_study_sort(lua_State *L, const bv_study *study, const char **names,
                   size_t count) {
  for (size_t i = 1; i < count; i++) {
    const char *name = names[i];
    size_t rank = bv_study_rank(L, study, name), at = i;
    for (; at > 0; at--) {
      size_t other = bv_study_rank(L, study, names[at - 1]);
      if (other < rank || (other == rank && strcmp(names[at - 1], name) <= 0))
        break;
      names[at] = names[at - 1];
    }
    names[at] = name;
  }
}

void bv_study_check_name(lua_State *L, const bv_study *study, int index,
                         const char *list) {
  const char *name =
      lua_type(L, index) == LUA_TSTRING ? lua_tostring(L, index) : NULL;
  if (name == NULL)
    bv_study_fail(L, study, "%s: expected names, found the key %s", list,
                  bv_fields_push_found(L, index));
  size_t length = strlen(name);
  size_t good = strspn(name, "abcdefghijklmnopqrstuvwxyz"
                             "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_");
  if (strcmp(name, "row") == 0)
    bv_study_fail(L, study,
                  "%s: expected another name than \"row\", which numbers the "
                  "rows of a front",
                  list);
  if (length == 0 || good < lua_rawlen(L, index) || length > 60)
    bv_study_fail(L, study,
                  "%s: expected names of letters, digits and _ (at most 60), "
                  "found %s",
                  list, bv_fields_push_found(L, index));
}

void bv_study_check_text(lua_State *L, const bv_study *study, int index,
                         const char *what, ...) {
  char owner[256], byte[64];
  size_t length;
  const char *text = lua_tolstring(L, index, &length);
  size_t good = bv_utf8_plain(text, length);
  if (good == length)
    return;
  va_list arguments;
  va_start(arguments, what);
  vsnprintf(owner, sizeof owner, what, arguments);
  va_end(arguments);
  snprintf(byte, sizeof byte, "0x%02x at byte %zu",
           (unsigned) (unsigned char) text[good], good + 1);
  bv_study_fail(L, study,
                "%s: expected UTF-8 without control characters, found %s",
                owner, byte);
}

/* The labels of a choice, whose values are at the top. */
static void check_labels(lua_State *L, const bv_study *study,
                         const bv_variable *variable) {
  if (lua_rawgeti(L, -1, 0) == LUA_TTABLE)
    for (lua_Integer i = 1; i <= (lua_Integer) variable->hi + 1; i++) {
      lua_rawgeti(L, -1, i);
      bv_study_check_text(L, study, lua_gettop(L), "variables.%s: choice %d",
                          variable->name, (int) i);
      lua_pop(L, 1);
    }
  lua_pop(L, 1);
}

static bool is_choice(const bv_variable *variable) {
  return variable->scale == BV_SCALE_CHOICE ||
         variable->scale == BV_SCALE_ORDERED;
}

static size_t collect_names(lua_State *L, bv_study *study, int index,
                            const char **names) {
  size_t count = 0;
  for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1)) {
    bv_study_check_name(L, study, lua_gettop(L) - 1, "variables");
    if (count == BV_SPACE_MOST)
      bv_study_fail(L, study, "variables: expected at most %d, found more",
                    BV_SPACE_MOST);
    const char *name = bv_study_keep(L, study, lua_gettop(L) - 1);
    if (!bv_object_test(L, -1, &bv_variable_type))
      bv_study_fail(L, study,
                    "variables.%s: expected space.real(lo, hi), log, whole, "
                    "step, choice or ordered, found %s",
                    name, bv_fields_push_found(L, lua_gettop(L)));
    names[count++] = name;
  }
  return count;
}

void bv_study_read_variables(lua_State *L, bv_study *study, int index) {
  if (!lua_istable(L, index))
    bv_study_fail(L, study, "variables: expected a table, found %s",
                  bv_fields_push_found(L, index));
  const char *names[BV_SPACE_MOST];
  size_t count = collect_names(L, study, index, names);
  if (count == 0)
    bv_study_fail(L, study, "variables: expected at least one, found none");
  bv_study_sort(L, study, names, count);
  for (size_t i = 0; i < count; i++) {
    lua_getfield(L, index, names[i]);
    study->variables[i] =
        *(const bv_variable *) bv_object_test(L, -1, &bv_variable_type);
    study->variables[i].name = names[i];
    bv_variable_push_values(L, -1);
    if (is_choice(&study->variables[i]))
      check_labels(L, study, &study->variables[i]);
    study->choices[i] = luaL_ref(L, LUA_REGISTRYINDEX);
    lua_pop(L, 1);
  }
  study->problem.space = (bv_space){study->variables, count};
}

const char *bv_study_choice(const bv_study *study, size_t variable,
                            size_t index) {
  lua_State *L = study->host->lua;
  const bv_variable *of = &study->variables[variable];
  if (!is_choice(of) || (double) index > of->hi)
    return NULL;
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->choices[variable]);
  lua_rawgeti(L, -1, 0);
  lua_rawgeti(L, -1, (lua_Integer) index + 1);
  const char *label = lua_tostring(L, -1);
  lua_pop(L, 3);
  return label;
}

/* The index of the value at the top among a choice's values or labels. */
static double find_choice(lua_State *L, const bv_study *study, size_t i) {
  size_t levels = (size_t) study->variables[i].hi + 1;
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->choices[i]);
  for (size_t at = 0; at < levels; at++) {
    lua_rawgeti(L, -1, (lua_Integer) at + 1);
    bool same = lua_rawequal(L, -1, -3);
    lua_pop(L, 1);
    const char *text =
        lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "";
    if (same || strcmp(bv_study_choice(study, i, at), text) == 0) {
      lua_pop(L, 1);
      return (double) at;
    }
  }
  lua_pop(L, 1);
  return -1;
}

/* Reads the value at the top for variable i of start point p. */
static double start_value(lua_State *L, bv_study *study, lua_Integer p,
                          size_t i) {
  const bv_variable *variable = &study->variables[i];
  double value = is_choice(variable)              ? find_choice(L, study, i)
                 : lua_type(L, -1) == LUA_TNUMBER ? lua_tonumber(L, -1)
                                                  : (double) NAN;
  if (is_choice(variable) && value < 0)
    bv_study_fail(L, study,
                  "start[%I].%s: expected one of the choices, found "
                  "%s",
                  (LUAI_UACINT) p, variable->name,
                  bv_fields_push_found(L, lua_gettop(L)));
  if (!(value >= variable->lo && value <= variable->hi))
    bv_study_fail(L, study,
                  "start[%I].%s: expected a number from %f to %f, "
                  "found %s",
                  (LUAI_UACINT) p, variable->name, variable->lo, variable->hi,
                  bv_fields_push_found(L, lua_gettop(L)));
  return bv_variable_snap(variable, value);
}

size_t bv_study_variable(const bv_study *study, const char *name) {
  size_t i = 0;
  while (i < study->problem.space.count &&
         strcmp(study->variables[i].name, name) != 0)
    i++;
  return i;
}

static void no_variable(lua_State *L, const bv_study *study, lua_Integer p,
                        const char *name) {
  bv_nearest nearest = bv_nearest_begin(name);
  for (size_t i = 0; i < study->problem.space.count; i++)
    bv_nearest_offer(&nearest, study->variables[i].name);
  bv_study_fail(L, study, "start[%I]: no variable \"%s\"%s%s%s",
                (LUAI_UACINT) p, name, nearest.best ? "; did you mean \"" : "",
                nearest.best ? nearest.best : "", nearest.best ? "\"?" : "");
}

/* Point p is the table at the top. */
static void read_start(lua_State *L, bv_study *study, lua_Integer p,
                       double *x) {
  size_t count = study->problem.space.count;
  if (!lua_istable(L, -1))
    bv_study_fail(L, study,
                  "start[%I]: expected a table of variables, found "
                  "%s",
                  (LUAI_UACINT) p, bv_fields_push_found(L, lua_gettop(L)));
  for (size_t i = 0; i < count; i++)
    x[i] = bv_variable_decode(&study->variables[i], 0.5);
  for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1)) {
    const char *name =
        lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "";
    size_t i = bv_study_variable(study, name);
    if (i == count)
      no_variable(L, study, p, name);
    x[i] = start_value(L, study, p, i);
  }
}

void bv_study_read_start(lua_State *L, bv_study *study, int index) {
  lua_Integer count = bv_study_check_list(L, study, index, "start", "points");
  if (count > BV_STARTS_MOST)
    bv_study_fail(L, study, "start: expected at most %d points, found %I",
                  BV_STARTS_MOST, (LUAI_UACINT) count);
  if (count == 0)
    return;
  size_t width = study->problem.space.count;
  study->starts = calloc((size_t) count * width, sizeof *study->starts);
  if (!study->starts)
    bv_study_fail(L, study, "out of memory");
  study->start_count = (size_t) count;
  for (lua_Integer p = 1; p <= count; p++) {
    lua_rawgeti(L, index, p);
    read_start(L, study, p, &study->starts[(size_t) (p - 1) * width]);
    lua_settop(L, index);
  }
}
