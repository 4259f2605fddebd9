/* SPDX-License-Identifier: MIT */
#include "script/traceback.h"

#include <lauxlib.h>
#include <stdbool.h>
#include <string.h>

#include "script/host.h"

/* Frames told from the inside; levels looked at for them, and from the outside
 * where those don't reach it. */
enum { FRAMES_MOST = 12, INNER = 200, OUTER = 4, MESSAGE_MOST = 4096 };

/* Names of Lua that studies lack: sandbox.c. */
static const char *const left_out[] = {
    "io",   "os",     "debug",    "package",    "coroutine",
    "load", "dofile", "loadfile", "loadstring", "collectgarbage"};

/* Adds to a message about a global of Lua that is left out why it isn't there.
 */
static void add_reason(luaL_Buffer *text, const char *message) {
  static const char begins[] = "(global '";
  const char *name = strstr(message, begins);
  for (size_t i = 0; name && i < sizeof left_out / sizeof *left_out; i++) {
    size_t length = strlen(left_out[i]);
    const char *at = name + strlen(begins);
    if (strncmp(at, left_out[i], length) != 0 || at[length] != '\'')
      continue;
    luaL_addstring(text, "; studies do without ");
    luaL_addstring(text, left_out[i]);
    luaL_addstring(text, ": catalogue.rows reads a CSV file beside the script");
  }
}

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

/* The number of levels; each look at one walks there. */
static int count_levels(lua_State *L) {
  lua_Debug frame;
  int there = 0, beyond = 1;
  while (lua_getstack(L, beyond, &frame)) {
    there = beyond;
    beyond *= 2;
  }
  while (beyond - there > 1) {
    int middle = there + (beyond - there) / 2;
    if (lua_getstack(L, middle, &frame))
      there = middle;
    else
      beyond = middle;
  }
  return beyond;
}

static bool same_place(const lua_Debug *a, const lua_Debug *b) {
  return a->currentline == b->currentline && a->name && b->name &&
         strcmp(a->name, b->name) == 0 &&
         strcmp(a->short_src, b->short_src) == 0;
}

/* What a walk outwards told last, and whether it left out frames since. */
typedef struct walk {
  lua_Debug last;
  bool gap;
} walk;

/* Adds the frames of Lua functions from a level on, innermost first; of those
 * of a recursion, alike, one. Gives the first level it left out. */
static int add_levels(luaL_Buffer *text, lua_State *L, int from, int end,
                      walk *w) {
  int told = 0, level = from;
  for (lua_Debug frame; level < end && lua_getstack(L, level, &frame);
       level++) {
    lua_getinfo(L, "Sln", &frame);
    if (*frame.what == 'C' || frame.currentline < 0)
      continue;
    if (same_place(&frame, &w->last)) {
      w->gap = true;
      continue;
    }
    if (told++ == FRAMES_MOST)
      break;
    if (w->gap)
      luaL_addstring(text, "\n  …");
    add_frame(text, L, &frame, level);
    *w = (walk){.last = frame};
  }
  return level;
}

static void add_frames(luaL_Buffer *text, lua_State *L) {
  walk w = {.last.currentline = -1};
  int levels = count_levels(L);
  int left = add_levels(text, L, 1, levels < INNER ? levels : INNER, &w);
  int outer = levels - OUTER > left ? levels - OUTER : left;
  w.gap = w.gap || outer > left;
  add_levels(text, L, outer, levels, &w);
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
  add_reason(&text, message);
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
