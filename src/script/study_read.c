/* SPDX-License-Identifier: MIT */
/* Reads the table a study returns: title, evaluate, hooks, results, cases. */
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "script/fields.h"
#include "script/study_state.h"

static void expect(lua_State *L, const bv_study *study, int index, int type,
                   const char *name) {
  if (lua_type(L, index) != type)
    bv_study_fail(L, study, "%s: expected a %s, found %s", name,
                  lua_typename(L, type), bv_fields_push_found(L, index));
}

static void read_title(lua_State *L, bv_study *study, int index) {
  expect(L, study, index, LUA_TSTRING, "title");
  bv_study_check_text(L, study, index, "title");
  study->title = bv_study_keep(L, study, index);
}

static int read_function(lua_State *L, bv_study *study, int index,
                         const char *name) {
  expect(L, study, index, LUA_TFUNCTION, name);
  lua_pushvalue(L, index);
  return luaL_ref(L, LUA_REGISTRYINDEX);
}

static void read_evaluate(lua_State *L, bv_study *study, int index) {
  study->evaluate = read_function(L, study, index, "evaluate");
}

static void read_on_round(lua_State *L, bv_study *study, int index) {
  study->on_round = read_function(L, study, index, "on_round");
}

static void read_on_best(lua_State *L, bv_study *study, int index) {
  study->on_best = read_function(L, study, index, "on_best");
}

/* One entry of `results`: { unit = , meaning = }, at the top. */
static void check_result(lua_State *L, bv_study *study, const char *name) {
  if (!lua_istable(L, -1))
    bv_study_fail(L, study,
                  "results.%s: expected { unit = , meaning = }, found %s", name,
                  bv_fields_push_found(L, lua_gettop(L)));
  for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1)) {
    const char *key = lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "";
    if (strcmp(key, "unit") != 0 && strcmp(key, "meaning") != 0)
      bv_study_fail(L, study,
                    "results.%s: unknown name \"%s\"; known are unit, meaning",
                    name, key);
    if (lua_type(L, -1) != LUA_TSTRING)
      bv_study_fail(L, study, "results.%s.%s: expected a text, found %s", name,
                    key, bv_fields_push_found(L, lua_gettop(L)));
    bv_study_check_text(L, study, lua_gettop(L), "results.%s.%s", name, key);
  }
}

static int compare_names(const void *a, const void *b) {
  return strcmp(*(const char *const *) a, *(const char *const *) b);
}

static void read_results(lua_State *L, bv_study *study, int index) {
  expect(L, study, index, LUA_TTABLE, "results");
  for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1)) {
    bv_study_check_name(L, study, lua_gettop(L) - 1, "results");
    check_result(L, study, lua_tostring(L, -2));
    if (study->declared_count == BV_DECLARED_MOST)
      bv_study_fail(L, study, "results: expected at most %d, found more",
                    BV_DECLARED_MOST);
    study->declared[study->declared_count++] =
        bv_study_keep(L, study, lua_gettop(L) - 1);
  }
  qsort(study->declared, study->declared_count, sizeof *study->declared,
        compare_names);
  lua_pushvalue(L, index);
  study->results = luaL_ref(L, LUA_REGISTRYINDEX);
}

/* A case's name becomes the name of a folder. */
static void check_case(lua_State *L, bv_study *study, lua_Integer i) {
  int entry = lua_gettop(L);
  if (!lua_istable(L, entry))
    bv_study_fail(L, study, "cases[%I]: expected a table, found %s",
                  (LUAI_UACINT) i, bv_fields_push_found(L, entry));
  if (lua_getfield(L, entry, "name") != LUA_TSTRING)
    bv_study_fail(L, study, "cases[%I].name: expected a text, found %s",
                  (LUAI_UACINT) i, bv_fields_push_found(L, entry + 1));
  size_t length;
  const char *name = lua_tolstring(L, -1, &length);
  bool bad = length == 0 || length > 100 || *name == '.' ||
             (length >= 5 && strcmp(name + length - 5, ".near") == 0);
  bv_study_check_text(L, study, entry + 1, "cases[%d].name", (int) i);
  if (bad || strchr(name, '/'))
    bv_study_fail(L, study,
                  "cases[%I].name: expected 1 to 100 letters without \"/\" "
                  "that begin with no dot and don't end in \".near\", found %s",
                  (LUAI_UACINT) i, bv_fields_push_found(L, entry + 1));
}

static void read_cases(lua_State *L, bv_study *study, int index) {
  lua_Integer count = bv_study_check_list(L, study, index, "cases", "tables");
  if (count < 1 || count > BV_CASES_MOST)
    bv_study_fail(L, study, "cases: expected a list of 1 to %d, found %I",
                  BV_CASES_MOST, (LUAI_UACINT) count);
  lua_createtable(L, (int) count, 0);
  int names = lua_gettop(L);
  lua_newtable(L);
  int seen = lua_gettop(L);
  for (lua_Integer i = 1; i <= count; i++) {
    lua_rawgeti(L, index, i);
    check_case(L, study, i);
    lua_pushvalue(L, -1);
    lua_rawseti(L, names, i);
    lua_pushvalue(L, -1);
    if (lua_rawget(L, seen) != LUA_TNIL)
      bv_study_fail(L, study, "cases[%I].name: \"%s\" was used before",
                    (LUAI_UACINT) i, lua_tostring(L, -2));
    lua_pop(L, 1);
    lua_pushboolean(L, 1);
    lua_rawset(L, seen);
    lua_settop(L, seen);
  }
  lua_pop(L, 1);
  study->case_names = luaL_ref(L, LUA_REGISTRYINDEX);
  lua_pushvalue(L, index);
  study->cases = luaL_ref(L, LUA_REGISTRYINDEX);
  study->case_count = (size_t) count;
}

/* In the order in which they depend on each other. */
static const struct {
  bv_study_entry entry;
  void (*read)(lua_State *L, bv_study *study, int index);
} entries[] = {
    {{"title", "string", "one line for the head of every table", NULL},
     read_title},
    {{"results", "table<string, { unit: string?, meaning: string? }>",
      "unit and meaning of results and variables of the study's own", NULL},
     read_results},
    {{"order", "string[]",
      "names of variables, limits and own results in the order they are to be "
      "shown; others follow by name",
      NULL},
     bv_study_read_order},
    {{"variables", "table<string, brimvolt.variable>", "what the search varies",
      "expected a table of space.real(lo, hi) and its like"},
     bv_study_read_variables},
    {{"evaluate",
      "fun(x: table, case: table?): brimvolt.design|brimvolt.charge|table",
      "the results of a point: a design, a charge, or a table of numbers by "
      "name",
      "expected a function of the variables"},
     read_evaluate},
    {{"minimise", "string[]", "names of results to be made small", NULL},
     bv_study_read_minimise},
    {{"maximise", "string[]", "names of results to be made large", NULL},
     bv_study_read_maximise},
    {{"limits", "table<string, brimvolt.limit>",
      "bounds on results: { min = , max = }, each a number or a function of "
      "the results; scale is the violation that counts as 1, by default the "
      "size of the bound",
      NULL},
     bv_study_read_limits},
    {{"cases", "table[]",
      "what a sweep goes through: tables with a name, handed to evaluate",
      NULL},
     read_cases},
    {{"start", "table[]",
      "known points to begin with; variables left out take their middle", NULL},
     bv_study_read_start},
    {{"on_round", "fun(progress: brimvolt.progress): boolean?",
      "called after each round of a search, some hundred points, and at its "
      "end; returns false to stop it",
      NULL},
     read_on_round},
    {{"on_best", "fun(name: string, x: table, value: number): boolean?",
      "called after a round with a new best value of an objective; returns "
      "false "
      "to stop the search",
      NULL},
     read_on_best},
};

enum { ENTRIES = sizeof entries / sizeof *entries };

const bv_study_entry *bv_study_entry_at(size_t i) {
  return i < ENTRIES ? &entries[i].entry : NULL;
}

static void check_key(lua_State *L, const bv_study *study) {
  if (lua_type(L, -2) != LUA_TSTRING)
    bv_study_fail(L, study,
                  "expected names in the study's table, found the "
                  "key %s",
                  bv_fields_push_found(L, lua_gettop(L) - 1));
  const char *name = lua_tostring(L, -2);
  bv_nearest nearest = bv_nearest_begin(name);
  for (size_t i = 0; i < ENTRIES; i++) {
    if (strcmp(entries[i].entry.name, name) == 0)
      return;
    bv_nearest_offer(&nearest, entries[i].entry.name);
  }
  if (nearest.best)
    bv_study_fail(L, study, "%s: unknown name; did you mean \"%s\"?", name,
                  nearest.best);
  bv_study_fail(L, study,
                "%s: unknown name; known are title, variables, evaluate, "
                "minimise, maximise, limits, results, order, start, cases, "
                "on_round, on_best",
                name);
}

static void read_entries(lua_State *L, bv_study *study, int index) {
  for (size_t i = 0; i < ENTRIES; i++) {
    int type = lua_getfield(L, index, entries[i].entry.name);
    if (type != LUA_TNIL)
      entries[i].read(L, study, lua_gettop(L));
    else if (entries[i].entry.missing)
      bv_study_fail(L, study, "%s is missing: %s", entries[i].entry.name,
                    entries[i].entry.missing);
    lua_settop(L, index);
  }
}

/* True where a name of `order` is known: a variable, an objective, a limit, or
 * one of `results`. */
static bool is_known(lua_State *L, const bv_study *study, const char *name,
                     bv_nearest *nearest) {
  bool known = false;
  for (size_t i = 0; i < study->problem.space.count; i++) {
    known = known || strcmp(study->variables[i].name, name) == 0;
    bv_nearest_offer(nearest, study->variables[i].name);
  }
  for (size_t i = 0; i < study->needed_count; i++) {
    known = known || strcmp(study->needed[i].name, name) == 0;
    bv_nearest_offer(nearest, study->needed[i].name);
  }
  if (known || study->results == LUA_NOREF)
    return known;
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->results);
  known = lua_getfield(L, -1, name) != LUA_TNIL;
  lua_pop(L, 2);
  return known;
}

static void check_order(lua_State *L, const bv_study *study) {
  if (study->order == LUA_NOREF)
    return;
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->order);
  for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1)) {
    const char *name = lua_tostring(L, -2);
    bv_nearest nearest = bv_nearest_begin(name);
    if (!is_known(L, study, name, &nearest))
      bv_study_fail(L, study,
                    "order: \"%s\" is no variable, objective, limit or one of "
                    "results%s%s%s",
                    name, nearest.best ? "; did you mean \"" : "",
                    nearest.best ? nearest.best : "",
                    nearest.best ? "\"?" : "");
  }
  lua_pop(L, 1);
}

void bv_study_read(lua_State *L, bv_study *study, int index) {
  if (!lua_istable(L, index))
    bv_study_fail(L, study, "expected the script to return a table, found %s",
                  bv_fields_push_found(L, index));
  study->evaluate = study->on_round = study->on_best = LUA_NOREF;
  study->order = study->results = study->cases = LUA_NOREF;
  study->reading = true;
  for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1))
    check_key(L, study);
  read_entries(L, study, index);
  check_order(L, study);
  study->reading = false;
  bv_study_find_lines(study);
  if (study->problem.objectives == 0)
    bv_study_fail(L, study,
                  "expected an objective: minimise or maximise must "
                  "name at least one result");
  bv_study_word_objectives(L, study);
  study->problem.evaluate = bv_study_evaluate;
  study->problem.context = study;
}

size_t bv_study_cases(const bv_study *study) {
  return study->case_count;
}

const char *bv_study_case_name(const bv_study *study, size_t index) {
  lua_State *L = study->host->lua;
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->case_names);
  lua_rawgeti(L, -1, (lua_Integer) index + 1);
  const char *name = lua_tostring(L, -1);
  lua_pop(L, 2);
  return name;
}

void bv_study_choose_case(bv_study *study, size_t index) {
  study->case_chosen = index;
}

const char *bv_study_case_chosen(const bv_study *study) {
  return study->case_count ? bv_study_case_name(study, study->case_chosen) : "";
}
