/* SPDX-License-Identifier: MIT */
/* What every file of a study needs: texts that are kept, errors that are
 * raised.
 */
#include "script/study_state.h"

#include <stdarg.h>

#include "script/fields.h"

const char *bv_study_keep(lua_State *L, bv_study *study, int index) {
  lua_pushvalue(L, index);
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->anchor);
  lua_pushvalue(L, -2);
  lua_pushvalue(L, -3);
  lua_rawset(L, -3);
  const char *text = lua_tostring(L, -2);
  lua_pop(L, 2);
  return text;
}

/* Raises what is at the top behind the prefix below it. */
_Noreturn static void raise_both(lua_State *L) {
  lua_concat(L, 2);
  for (;;)
    lua_error(L); /* never returns, which its header doesn't tell */
}

void bv_study_fail(lua_State *L, const bv_study *study, const char *format,
                   ...) {
  va_list arguments;
  va_start(arguments, format);
  const char *message = lua_pushvfstring(L, format, arguments);
  va_end(arguments);
  size_t line = study->reading ? bv_study_line_of(study, message) : 0;
  if (line > 0)
    lua_pushfstring(L, "%s:%I: ", study->host->script, (LUAI_UACINT) line);
  else
    lua_pushfstring(L, "%s: ", study->host->script);
  lua_insert(L, -2);
  raise_both(L);
}

void bv_study_fail_at(lua_State *L, const bv_study *study,
                      const bv_needed *needed, const char *format, ...) {
  va_list arguments;
  if (needed->line > 0)
    lua_pushfstring(L, "%s:%I: %s: ", study->host->script,
                    (LUAI_UACINT) needed->line, needed->role);
  else
    lua_pushfstring(L, "%s: %s: ", study->host->script, needed->role);
  va_start(arguments, format);
  lua_pushvfstring(L, format, arguments);
  va_end(arguments);
  raise_both(L);
}

lua_Integer bv_study_check_list(lua_State *L, const bv_study *study, int index,
                                const char *name, const char *what) {
  if (!lua_istable(L, index))
    bv_study_fail(L, study, "%s: expected a list of %s, found %s", name, what,
                  bv_fields_push_found(L, index));
  lua_Integer count = (lua_Integer) lua_rawlen(L, index);
  for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1)) {
    if (lua_type(L, -2) == LUA_TSTRING)
      bv_study_fail(L, study, "%s: expected a list, found the key \"%s\"", name,
                    lua_tostring(L, -2));
    if (!lua_isinteger(L, -2) || lua_tointeger(L, -2) < 1 ||
        lua_tointeger(L, -2) > count)
      bv_study_fail(L, study, "%s: expected a list, found the key %s", name,
                    bv_fields_push_found(L, lua_gettop(L) - 1));
  }
  return count;
}
