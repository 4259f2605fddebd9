/* SPDX-License-Identifier: MIT */
/* The host of a script: one Lua state with a cap on memory and on steps, and
 * the only door through which C calls into it. Inside src/script alone.
 *
 * A limit that was hit can't be caught by the script: `trip` stays set until
 * the outermost call is over, the hook raises again at every instruction, and
 * the script's pcall and xpcall pass the error on (sandbox.c). */
#ifndef BV_SCRIPT_HOST_H
#define BV_SCRIPT_HOST_H

#include <lauxlib.h>
#include <lua.h>
#include <lualib.h>
#include <sha2.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/random.h"
#include "base/status.h"
#include "base/text.h"
#include "search/problem.h"

typedef struct bv_shelf bv_shelf; /* catalogues that were read: shelf.h */

typedef struct bv_host {
  lua_State *lua;
  size_t memory, memory_most; /* bytes the state holds, may hold */
  int64_t steps_left;         /* VM instructions, and work done in C */
  bv_outcome trip;            /* the limit hit, BV_OUTCOME_EVALUATED: none */
  bv_outcome failure;         /* how an error raised by the host counts */
  char trip_text[256];
  char place[LUA_IDSIZE + 16]; /* "file:line: " near which memory ran out */
  bv_buffer message;           /* of the last failed call */

  char *script;    /* path as the user gave it */
  char *folder;    /* of the script, real path */
  char *library;   /* lib/ of the installation */
  bool loading;    /* the script is being read */
  bool missing;    /* the script itself can't be read */
  SHA2_CTX digest; /* of every file read */
  bv_shelf *shelf;
  void (*free_shelf)(bv_shelf *shelf); /* NULL while there is none */

  const double *point; /* under evaluation: keys the random stream */
  size_t point_size;
  uint64_t seed;
  bv_random random;
  bool random_ready;
  bv_evaluation *evaluation; /* under way, NULL outside */
  size_t printed;            /* bytes */
} bv_host;

/* What tells in this process that a script takes too long; NULL: nothing does.
 */
extern bool (*bv_host_is_late)(void);

/* Makes a state with nothing in it but the message handler. NULL where memory
 * ran out. */
bv_host *bv_host_new(size_t memory_most);
void bv_host_free(bv_host *host); /* NULL is allowed */

/* The host of a state. */
static inline bv_host *bv_host_of(lua_State *L) {
  return *(bv_host **) lua_getextraspace(L);
}

/* Calls body(L) with `context` as its one argument, a light userdata, in
 * protected mode and with a budget of steps. Leaves nothing on the stack. On
 * failure host->message tells: what was raised, then the script's own frames.
 */
bv_outcome bv_host_call(bv_host *host, lua_CFunction body, void *context,
                        uint64_t steps);

/* Takes work done in C from the budget of steps, so that a script can't hide a
 * loop in a library function. */
void bv_host_charge(lua_State *L, int64_t steps);

/* What a design, and a charge cycle by cycle, count for: about their time. */
enum { BV_DESIGN_STEPS = 10000, BV_CYCLES_STEPS = 50000 };

/* Raises again the limit that was hit, if any. To be called after each
 * protected call made for the script; status is what lua_pcall returned. */
void bv_host_pass_on(lua_State *L, int status);

#endif
