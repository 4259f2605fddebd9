/* SPDX-License-Identifier: MIT */
/* brimvolt.catalogue: rows of the program's catalogues and of the user's own
 * files. */
#include <lauxlib.h>
#include <string.h>

#include "base/text.h"
#include "script/fields.h"
#include "script/files.h"
#include "script/module.h"
#include "script/shelf.h"
#include "table/csvfile.h"

/* registry[&made_key][lightuserdata of rows] = list of objects, one a row */
static const char made_key = 0;

static void push_objects(lua_State *L, const bv_catalogue_kind *kind,
                         const bv_rows *rows) {
  if (lua_rawgetp(L, LUA_REGISTRYINDEX, &made_key) == LUA_TNIL) {
    lua_newtable(L);
    lua_pushvalue(L, -1);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &made_key);
    lua_replace(L, -2);
  }
  if (lua_rawgetp(L, -1, rows) == LUA_TNIL) {
    lua_pop(L, 1);
    lua_createtable(L, (int) rows->count, 0);
    for (size_t i = 0; i < rows->count; i++) {
      bv_object_push_shared(L, kind->type,
                            (char *) rows->data + i * rows->size);
      lua_rawseti(L, -2, (lua_Integer) i + 1);
    }
    lua_pushvalue(L, -1);
    lua_rawsetp(L, -3, rows);
  }
  lua_remove(L, -2);
}

/* True where the field of a row equals the value at the top. */
static bool equals(lua_State *L, const bv_field *field, const void *row) {
  const char *text = bv_field_text(field, row);
  if (!text)
    return lua_tonumber(L, -1) == bv_field_number(field, row);
  return strcmp(lua_tostring(L, -1), text) == 0;
}

/* A value of the filter: one of the field's kind, or a list of such. Raises. */
static bool matches(lua_State *L, const bv_field *field, const void *row) {
  if (!lua_istable(L, -1))
    return equals(L, field, row);
  bool found = false;
  for (lua_Integer i = 1; lua_rawgeti(L, -1, i) != LUA_TNIL; i++) {
    found = found || equals(L, field, row);
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
  return found;
}

static void check_value(lua_State *L, const bv_field *field,
                        const bv_catalogue_kind *kind) {
  bool text = field->kind == BV_TEXT || field->kind == BV_WORD;
  if (lua_type(L, -1) != (text ? LUA_TSTRING : LUA_TNUMBER))
    luaL_error(L, "catalogue.%s: %s: expected %s or a list of them, found %s",
               kind->name, field->name, text ? "a text" : "a number",
               bv_fields_push_found(L, lua_gettop(L)));
}

static void check_entry(lua_State *L, const bv_field *field,
                        const bv_catalogue_kind *kind) {
  if (!lua_istable(L, -1)) {
    check_value(L, field, kind);
    return;
  }
  for (lua_Integer i = 1; lua_rawgeti(L, -1, i) != LUA_TNIL; i++) {
    check_value(L, field, kind);
    lua_pop(L, 1);
  }
  lua_pop(L, 1);
}

/* Raises where no row has the text at the top in the field: a slip would only
 * make the list shorter. */
static void check_known(lua_State *L, const bv_field *field,
                        const bv_catalogue_kind *kind, const bv_rows *rows) {
  const char *wanted = lua_tostring(L, -1);
  bv_nearest nearest = bv_nearest_begin(wanted);
  for (size_t i = 0; i < rows->count; i++) {
    const char *known =
        bv_field_text(field, (const char *) rows->data + i * rows->size);
    if (strcmp(known, wanted) == 0)
      return;
    bv_nearest_offer(&nearest, known);
  }
  luaL_error(L, "catalogue.%s: %s: no row has \"%s\"%s%s%s", kind->name,
             field->name, wanted, nearest.best ? "; did you mean \"" : "",
             nearest.best ? nearest.best : "", nearest.best ? "\"?" : "");
}

/* The same of every text that the filter at 1 names. */
static void check_texts(lua_State *L, const bv_catalogue_kind *kind,
                        const bv_rows *rows) {
  for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
    const bv_field *field =
        bv_field_find(*kind->type->fields, lua_tostring(L, -2));
    if (!field || (field->kind != BV_TEXT && field->kind != BV_WORD))
      continue;
    if (!lua_istable(L, -1)) {
      check_known(L, field, kind, rows);
      continue;
    }
    for (lua_Integer i = 1; lua_rawgeti(L, -1, i) != LUA_TNIL; i++) {
      check_known(L, field, kind, rows);
      lua_pop(L, 1);
    }
    lua_pop(L, 1);
  }
}

static bool is_option(const char *name) {
  return strcmp(name, "file") == 0 || strcmp(name, "keep") == 0;
}

/* Raises where the filter at 1 names what no row has. */
static void check_filter(lua_State *L, const bv_catalogue_kind *kind) {
  for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
    const char *name =
        lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "";
    if (!*name)
      luaL_error(L, "catalogue.%s: expected names of fields, found the key %s",
                 kind->name, bv_fields_push_found(L, lua_gettop(L) - 1));
    const bv_field *field = bv_field_find(*kind->type->fields, name);
    if (field)
      check_entry(L, field, kind);
    else if (!is_option(name))
      luaL_error(L, "catalogue.%s: unknown field \"%s\"%s", kind->name, name,
                 bv_fields_push_suggestion(L, *kind->type->fields, name));
  }
}

static bool passes_fields(lua_State *L, const bv_object *row) {
  bool passes = true;
  for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
    const bv_field *field =
        bv_field_find(*row->type->fields, lua_tostring(L, -2));
    passes = passes && (!field || matches(L, field, row->data));
  }
  return passes;
}

/* The row at the top against the function at `keep` (nil: none). */
static bool passes_function(lua_State *L, int keep) {
  if (lua_isnil(L, keep))
    return true;
  lua_pushvalue(L, keep);
  lua_pushvalue(L, -2);
  lua_call(L, 1, 1);
  bool passes = lua_toboolean(L, -1);
  lua_pop(L, 1);
  return passes;
}

/* stack: 1 filter table or nil, 2 keep or nil, 3 objects, 4 result */
static void pick(lua_State *L) {
  lua_newtable(L);
  lua_Integer kept = 0;
  for (lua_Integer i = 1; lua_rawgeti(L, 3, i) != LUA_TNIL; i++) {
    const bv_object *row = bv_object_any(L, -1);
    bool passes = !lua_istable(L, 1) || passes_fields(L, row);
    if (passes && passes_function(L, 2))
      lua_rawseti(L, 4, ++kept);
    else
      lua_pop(L, 1);
  }
  lua_settop(L, 4);
}

/* The user's file that the filter at 1 names, as a real path, or NULL. */
static const char *own_file(lua_State *L, const bv_catalogue_kind *kind) {
  if (!lua_istable(L, 1) || lua_getfield(L, 1, "file") == LUA_TNIL)
    return NULL;
  const char *what = lua_pushfstring(L, "catalogue.%s: file", kind->name);
  if (lua_type(L, -2) != LUA_TSTRING)
    luaL_error(L, "%s: expected a text, found %s", what,
               bv_fields_push_found(L, lua_gettop(L) - 1));
  return bv_files_push_path(L, lua_tostring(L, -2), what);
}

/* Puts the filter's function, or nil, at 2. */
static void take_keep(lua_State *L, const bv_catalogue_kind *kind) {
  if (lua_istable(L, 1))
    lua_getfield(L, 1, "keep");
  else if (lua_isfunction(L, 1))
    lua_pushvalue(L, 1);
  else if (lua_isnil(L, 1))
    lua_pushnil(L);
  else
    luaL_error(L,
               "catalogue.%s: expected a table or a function to filter by, "
               "found %s",
               kind->name, bv_fields_push_found(L, 1));
  if (!lua_isnil(L, -1) && !lua_isfunction(L, -1))
    luaL_error(L, "catalogue.%s: keep: expected a function, found %s",
               kind->name, bv_fields_push_found(L, lua_gettop(L)));
}

static int push_rows(lua_State *L, size_t kind_index) {
  const bv_catalogue_kind *kind = &bv_catalogue_kinds[kind_index];
  lua_settop(L, 1);
  take_keep(L, kind);
  if (lua_istable(L, 1))
    check_filter(L, kind);
  const bv_rows *rows = bv_shelf_rows(L, kind, own_file(L, kind));
  lua_settop(L, 2);
  if (lua_istable(L, 1))
    check_texts(L, kind, rows);
  push_objects(L, kind, rows);
  pick(L);
  return 1;
}

static void push_cell(lua_State *L, const char *cell) {
  double number;
  if (bv_parse_number(cell, &number))
    lua_pushnumber(L, number);
  else
    lua_pushstring(L, cell);
}

/* The cells, a light userdata at 1, as a list of tables. */
static int push_csv(lua_State *L) {
  const bv_csv *csv = lua_touserdata(L, 1);
  lua_createtable(L, (int) csv->rows, 0);
  for (size_t row = 1; row < csv->rows; row++) {
    lua_createtable(L, 0, (int) csv->columns);
    for (size_t column = 0; column < csv->columns; column++) {
      push_cell(L, bv_csv_cell(csv, row, column));
      lua_setfield(L, -2, bv_csv_cell(csv, 0, column));
    }
    lua_rawseti(L, -2, (lua_Integer) row);
  }
  return 1;
}

static int catalogue_rows(lua_State *L) {
  const char *name = luaL_checkstring(L, 1);
  const char *path = bv_files_push_path(L, name, "catalogue.rows");
  bv_csv csv;
  bv_error error;
  if (!bv_host_of(L)->loading)
    luaL_error(L, "catalogue.rows: expected at the top of the script, found in "
                  "evaluate");
  bv_files_digest(L, path);
  if (bv_csv_read(path, &csv, &error) != BV_OK)
    luaL_error(L, "%s", error.text);
  lua_pushcfunction(L, push_csv);
  lua_pushlightuserdata(L, &csv);
  int status = lua_pcall(L, 1, 1, 0); /* so that the cells are freed */
  bv_csv_free(&csv);
  bv_host_pass_on(L, status);
  if (status != LUA_OK)
    lua_error(L);
  return 1;
}

#define ROWS(name, index)                                                      \
  static int rows_##name(lua_State *L) {                                       \
    return push_rows(L, index);                                                \
  }
ROWS(cores, 0)
ROWS(wires, 1)
ROWS(materials, 2)
ROWS(switches, 3)
ROWS(diodes, 4)
ROWS(capacitors, 5)

#define FUNCTION(name, part, example, wrong, error)                            \
  {                                                                            \
#name, rows_##name, "filter?: table|fun(row: " part "): boolean",          \
        part "[]", "rows of lib/catalogue/" #name ".csv that pass the filter", \
        "catalogue." #name example, "catalogue." #name wrong,                  \
        "catalogue." #name ": " error                                          \
  }

static const bv_function functions[] = {
    FUNCTION(cores, "brimvolt.core", " { family = \"ETD\" }",
             " { famly = \"ETD\" }",
             "unknown field \"famly\"; did you mean \"family\"?"),
    FUNCTION(
        wires, "brimvolt.wire", " { strands = 1 }", " { strands = \"one\" }",
        "strands: expected a number or a list of them, found the text \"one\""),
    FUNCTION(materials, "brimvolt.material", "()", " { file = \"absent.csv\" }",
             "file: no file \"absent.csv\" beside the script"),
    FUNCTION(switches, "brimvolt.switch",
             "(function(s) return s.voltage_rating >= 150 end)", "(5)",
             "expected a table or a function to filter by, found 5"),
    FUNCTION(diodes, "brimvolt.diode",
             " { keep = function(d) return d.voltage_rating > 1000 end }",
             " { keep = 5 }", "keep: expected a function, found 5"),
    FUNCTION(
        capacitors, "brimvolt.storage", "()", " { file = \"/capacitors.csv\" }",
        "file: expected a file beside the script, found \"/capacitors.csv\""),
    {"rows", catalogue_rows, "file: string", "table[]",
     "rows of any CSV file beside the script, each a table by the header's "
     "names; cells that are numbers become numbers",
     "catalogue.rows(\"prices.csv\")", "catalogue.rows(\"../prices.csv\")",
     "catalogue.rows: expected a file beside the script, found "
     "\"../prices.csv\""},
    {0}};

const bv_module bv_module_catalogue = {
    .name = "catalogue",
    .meaning = "parts, one object a row. A filter is a function of a row, or a "
               "table of fields that must equal a value or one of a list; in "
               "the table `file` names the user's own CSV beside the script "
               "and `keep` is a function of a row",
    .functions = functions};
