/* SPDX-License-Identifier: MIT */
#include "script/host.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "script/traceback.h"

/* Instructions between two looks at the budget. */
enum { HOOK_STEPS = 1000 };

/* Bytes allocated at once that count as one step, for large blocks alone: a
 * few instructions may fill hundreds of megabytes. */
enum { BYTES_A_STEP = 16, LARGE_BLOCK = 4096 };

static const char too_many[] = "too many steps";

/* Steps of one call of a library function that no loop needs. */
enum { LARGE_WORK = 100000000 };

/* Calls within each other that a script may make: Lua's own limit is met after
 * tens of megabytes, and each point would take that long. */
enum { CALLS_MOST = 10000 };

/* Keeps where the script is, for a state that memory ran out of can't tell.
 * Takes no memory itself. */
static void note_place(bv_host *host) {
  lua_Debug frame;
  for (int level = 0; lua_getstack(host->lua, level, &frame); level++)
    if (lua_getinfo(host->lua, "Sl", &frame) && frame.currentline > 0) {
      snprintf(host->place, sizeof host->place, "%s:%d: ", frame.short_src,
               frame.currentline);
      return;
    }
}

/* Of blocks that grow one may be the stack, which can't be looked at then. */
static void *refuse(bv_host *host, const void *block) {
  if (host->lua && !block)
    note_place(host);
  return NULL;
}

static void *allocate(void *context, void *block, size_t old, size_t size) {
  bv_host *host = context;
  if (!block)
    old = 0; /* Lua passes the kind of object here */
  if (size == 0) {
    free(block);
    host->memory -= old;
    return NULL;
  }
  if (size > old && size - old > host->memory_most - host->memory)
    return refuse(host, block);
  void *made = realloc(block, size);
  if (!made)
    return refuse(host, block);
  host->memory += size - old;
  if (size > old && size >= LARGE_BLOCK)
    host->steps_left -= (int64_t) (size / BYTES_A_STEP);
  return made;
}

bool (*bv_host_is_late)(void);

static void trip(lua_State *L, const char *what, const char *guess) {
  bv_host *host = bv_host_of(L);
  host->trip = BV_OUTCOME_TIMEOUT;
  luaL_where(L, 0);
  const char *where = lua_tostring(L, -1);
  if (!*where)
    luaL_where(L, 1);
  snprintf(host->trip_text, sizeof host->trip_text, "%sstopped: %s (%s?)",
           lua_tostring(L, -1), what, guess);
}

/* An error like any other, that a script may catch. */
static void refuse_deep(lua_State *L) {
  lua_Debug frame;
  if (!lua_getstack(L, CALLS_MOST, &frame))
    return;
  luaL_where(L, 0);
  lua_pushfstring(L,
                  "%sexpected at most %d calls within each other, found more "
                  "(a recursion without end?)",
                  lua_tostring(L, -1), CALLS_MOST);
  lua_error(L);
}

static void on_count(lua_State *L, lua_Debug *about) {
  (void) about;
  bv_host *host = bv_host_of(L);
  if (!host->trip) {
    host->steps_left -= HOOK_STEPS;
    if (host->memory > host->memory_most / 2)
      note_place(host);
    refuse_deep(L);
    bool late = bv_host_is_late && bv_host_is_late();
    if (host->steps_left > 0 && !late)
      return;
    trip(L, late ? "more time than --point-time allows" : too_many,
         "an endless loop");
    lua_sethook(L, on_count, LUA_MASKCOUNT, 1);
  }
  luaL_error(L, "%s", host->trip_text);
}

void bv_host_charge(lua_State *L, int64_t steps) {
  bv_host *host = bv_host_of(L);
  if (steps > 0)
    host->steps_left -= steps < INT64_MAX / 2 ? steps : INT64_MAX / 2;
  if (host->steps_left > 0 || host->trip)
    return;
  trip(L, too_many,
       steps < LARGE_WORK ? "an endless loop" : "a text or list too long");
  lua_sethook(L, on_count, LUA_MASKCOUNT, 1);
  luaL_error(L, "%s", host->trip_text);
}

void bv_host_pass_on(lua_State *L, int status) {
  bv_host *host = bv_host_of(L);
  if (status == LUA_ERRMEM && !host->trip) {
    host->trip = BV_OUTCOME_MEMORY;
    snprintf(host->trip_text, sizeof host->trip_text, "out of memory");
  }
  if (host->trip)
    lua_error(L);
}

bv_host *bv_host_new(size_t memory_most) {
  bv_host *host = calloc(1, sizeof *host);
  if (!host)
    return NULL;
  host->memory_most = memory_most;
  host->lua = lua_newstate(allocate, host);
  if (!host->lua) {
    free(host);
    return NULL;
  }
  *(bv_host **) lua_getextraspace(host->lua) = host;
  lua_pushcfunction(host->lua, bv_traceback_handler);
  SHA256Init(&host->digest);
  return host;
}

void bv_host_free(bv_host *host) {
  if (!host)
    return;
  lua_close(host->lua);
  if (host->free_shelf)
    host->free_shelf(host->shelf);
  bv_buffer_free(&host->message);
  free(host->script);
  free(host->folder);
  free(host->library);
  free(host);
}

static bv_outcome outcome_of(bv_host *host, int status) {
  if (host->trip)
    return host->trip;
  if (status == LUA_ERRMEM)
    return BV_OUTCOME_MEMORY;
  return host->failure;
}

static void take_message(bv_host *host, bv_outcome outcome) {
  lua_State *L = host->lua;
  size_t length = 0;
  const char *text =
      lua_type(L, -1) == LUA_TSTRING ? lua_tolstring(L, -1, &length) : NULL;
  if (outcome == BV_OUTCOME_TIMEOUT)
    bv_buffer_print(&host->message, "%s", host->trip_text);
  else if (outcome == BV_OUTCOME_MEMORY)
    bv_buffer_print(&host->message,
                    "%sstopped: out of memory (at most %zu MiB)", host->place,
                    host->memory_most >> 20);
  else
    bv_traceback_clean(&host->message, text ? text : "unknown error",
                       text ? length : strlen("unknown error"));
}

bv_outcome bv_host_call(bv_host *host, lua_CFunction body, void *context,
                        uint64_t steps) {
  lua_State *L = host->lua;
  host->trip = BV_OUTCOME_EVALUATED;
  host->failure = BV_OUTCOME_ERROR;
  host->message.length = 0;
  *host->place = '\0';
  host->steps_left = steps < INT64_MAX ? (int64_t) steps : INT64_MAX;
  lua_sethook(L, on_count, LUA_MASKCOUNT, HOOK_STEPS);
  lua_pushcfunction(L, body);
  lua_pushlightuserdata(L, context);
  int status = lua_pcall(L, 1, 0, 1);
  if (status == LUA_OK)
    return BV_OUTCOME_EVALUATED;
  bv_outcome outcome = outcome_of(host, status);
  take_message(host, outcome);
  lua_settop(L, 1);
  if (outcome == BV_OUTCOME_MEMORY) {
    host->trip = BV_OUTCOME_EVALUATED;
    lua_gc(L, LUA_GCCOLLECT);
  }
  return outcome;
}
