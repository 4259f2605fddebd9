/* SPDX-License-Identifier: MIT */
#include "script/traceback.h"

#include <lauxlib.h>
#include <stdbool.h>
#include <string.h>

#include "script/host.h"

enum { FRAMES_MOST = 12, MESSAGE_MOST = 4096 };

/* Pushes the error object as a text: its own, what __tostring makes of it, or
 * its type. */
static void push_message(lua_State *L) {
  if (lua_type(L, 1) == LUA_TSTRING)
    lua_pushvalue(L, 1);
  else if (luaL_callmeta(L, 1, "__tostring") && lua_isstring(L, -1))
    return;
  else
    lua_pushfstring(L, "error object: a %s value", luaL_typename(L, 1));
}

/* Lua knows no name for a function that C called. */
static const char *place_of(lua_State *L, const lua_Debug *frame, int level) {
  lua_Debug outer;
  if (strcmp(frame->what, "main") == 0)
    return " in the script";
  if (frame->name)
    return " in ";
  bool outermost = !lua_getstack(L, level + 2, &outer);
  return outermost && bv_host_of(L)->evaluation ? " in evaluate"
                                                : " in a function";
}

static void add_frame(luaL_Buffer *text, lua_State *L, lua_Debug *frame,
                      int level) {
  const char *place = place_of(L, frame, level);
  lua_pushfstring(L, "\n  %s:%d%s%s", frame->short_src, frame->currentline,
                  place, frame->name && *frame->what == 'L' ? frame->name : "");
  luaL_addvalue(text);
}

/* Adds the frames of Lua functions, innermost first. */
static void add_frames(luaL_Buffer *text, lua_State *L) {
  lua_Debug frame;
  int told = 0;
  for (int level = 1; lua_getstack(L, level, &frame); level++) {
    lua_getinfo(L, "Sln", &frame);
    if (*frame.what == 'C' || frame.currentline < 0)
      continue;
    if (told++ == FRAMES_MOST) {
      luaL_addstring(text, "\n  …");
      return;
    }
    add_frame(text, L, &frame, level);
  }
}

int bv_traceback_handler(lua_State *L) {
  if (bv_host_of(L)->trip)
    return 1; /* the host has its own words for a limit */
  push_message(L);
  size_t length;
  const char *message = lua_tolstring(L, -1, &length);
  luaL_Buffer text;
  luaL_buffinit(L, &text);
  luaL_addlstring(&text, message,
                  length < MESSAGE_MOST ? length : MESSAGE_MOST);
  add_frames(&text, L);
  luaL_pushresult(&text);
  return 1;
}

char bv_traceback_letter(char letter) {
  unsigned char code = (unsigned char) letter;
  bool safe = (code >= ' ' && code != 127) || code == '\n' || code == '\t';
  if (!safe)
    return '?';
  return letter;
}

void bv_traceback_clean(bv_buffer *buffer, const char *text, size_t length) {
  for (size_t i = 0; i < length; i++) {
    char letter = bv_traceback_letter(text[i]);
    bv_buffer_append(buffer, &letter, 1);
  }
}
