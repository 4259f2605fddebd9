/* SPDX-License-Identifier: MIT */
#include "script/loader.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "script/files.h"
#include "script/host.h"
#include "script/module.h"

/* registry[&loaded][module name] = what the module returned; false while it is
 * being loaded */
static const char loaded = 0;

static const char PROGRAM_MODULES[] = "brimvolt";

/* A byte order mark is left out, and so is a first line that begins with #,
 * which lets a script be run as a program. */
static const char *skip_head(const bv_buffer *file, size_t *length) {
  const char *text = file->text, *end = text + file->length;
  if (file->length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
    text += 3;
  if (text < end && *text == '#')
    while (text < end && *text != '\n')
      text++;
  *length = (size_t) (end - text);
  return text;
}

void bv_loader_push_chunk(lua_State *L, const char *path, const char *shown) {
  bv_host *host = bv_host_of(L);
  const char *name = lua_pushfstring(L, "@%s", shown);
  bv_buffer file = {0};
  bv_error error;
  if (bv_file_read(path, BV_SCRIPT_MOST, &file, &error) != BV_OK) {
    host->missing = error.status == BV_NO_INPUT && path == host->script;
    luaL_error(L, "%s", error.text);
  }
  bv_files_digest_text(host, &file);
  size_t length;
  const char *text = skip_head(&file, &length);
  bool compiled = length && *text == *LUA_SIGNATURE;
  int status = compiled ? LUA_OK : luaL_loadbufferx(L, text, length, name, "t");
  bv_buffer_free(&file);
  if (compiled)
    luaL_error(L, "%s: expected a Lua script, found a compiled chunk", shown);
  if (status != LUA_OK)
    lua_error(L);
  bv_host_charge(L, (int64_t) length);
  lua_remove(L, -2);
}

static void check_name(lua_State *L, const char *name) {
  bool dot = true;
  for (const char *c = name; *c; c++) {
    bool bad =
        *c == '.' ? dot : !isalnum((unsigned char) *c) && !strchr("_-", *c);
    if (bad)
      break;
    dot = *c == '.';
    if (!c[1] && !dot)
      return;
  }
  luaL_error(L,
             "require: expected a module name like \"cost\" or "
             "\"models.cost\", found \"%s\"",
             name);
}

/* upvalue 1: module */
static int open_module(lua_State *L) {
  bv_module_push(L, lua_touserdata(L, lua_upvalueindex(1)));
  return 1;
}

/* Pushes the opener of a module of the program, or raises. */
static void push_program_module(lua_State *L, const char *name) {
  const bv_module *module = bv_module_find(name);
  if (module) {
    lua_pushlightuserdata(L, (void *) module);
    lua_pushcclosure(L, open_module, 1);
    return;
  }
  const char *file = luaL_gsub(L, name, ".", "/");
  const char *path =
      lua_pushfstring(L, "%s/%s.lua", bv_host_of(L)->library, file);
  if (access(path, R_OK) != 0)
    luaL_error(L, "require: no module \"%s\"%s", name,
               bv_module_suggest(L, name));
  bv_loader_push_chunk(L, path, lua_pushfstring(L, "%s.lua", file));
}

static void push_own_module(lua_State *L, const char *name) {
  const char *file = lua_pushfstring(L, "%s.lua", luaL_gsub(L, name, ".", "/"));
  const char *path =
      bv_files_push_path(L, file, lua_pushfstring(L, "require \"%s\"", name));
  bv_loader_push_chunk(L, path, file);
}

static bool of_program(const char *name) {
  size_t length = strlen(PROGRAM_MODULES);
  return strncmp(name, PROGRAM_MODULES, length) == 0 &&
         (name[length] == '.' || !name[length]);
}

/* Runs a module and puts what it returned into the table of loaded ones. */
static void run_module(lua_State *L, int modules, const char *name) {
  if (!bv_host_of(L)->loading)
    luaL_error(L,
               "require \"%s\": expected at the top of the script, found "
               "in evaluate",
               name);
  lua_pushboolean(L, 0);
  lua_setfield(L, modules, name);
  if (of_program(name))
    push_program_module(L, name);
  else
    push_own_module(L, name);
  lua_pushstring(L, name);
  lua_call(L, 1, 1);
  if (lua_isnil(L, -1))
    lua_pushboolean(L, 1);
  lua_pushvalue(L, -1);
  lua_setfield(L, modules, name);
}

int bv_loader_require(lua_State *L) {
  const char *name = luaL_checkstring(L, 1);
  check_name(L, name);
  if (lua_rawgetp(L, LUA_REGISTRYINDEX, &loaded) == LUA_TNIL) {
    lua_newtable(L);
    lua_pushvalue(L, -1);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &loaded);
    lua_replace(L, -2);
  }
  int modules = lua_gettop(L);
  int type = lua_getfield(L, modules, name);
  if (type == LUA_TBOOLEAN && !lua_toboolean(L, -1))
    luaL_error(L, "require \"%s\": the module requires itself", name);
  if (type == LUA_TNIL)
    run_module(L, modules, name);
  return 1;
}
