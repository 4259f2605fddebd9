/* SPDX-License-Identifier: MIT */
/* The script's hooks during a search, in a process of their own: one that hangs
 * or crashes is told and called no more, and the search goes on. */
#ifndef BV_RUN_HOOKS_H
#define BV_RUN_HOOKS_H

#include <stdbool.h>
#include <sys/types.h>

#include "base/text.h"
#include "script/study.h"
#include "search/search.h"

/* Start from {.patience =, .memory_most =}. */
typedef struct bv_hooks {
  double patience;    /* s that one call may take */
  size_t memory_most; /* bytes of the process, 0: no limit */
  uint64_t merges, rounds;
  bool known[BV_OBJECTIVES_MOST];
  double best[BV_OBJECTIVES_MOST]; /* smallest so far, as the search sees it */
  bv_buffer failures;              /* messages of hooks that failed */
  bool over;                       /* none is called any more */
  bool asked_to_end;               /* one did */
  pid_t process;                   /* 0: none yet */
  int channel;                     /* to it */
} bv_hooks;

/* To be called after every merge; every 32nd ends a round, which is told to
 * the script. False where a hook asks for the end of the search. */
bool bv_hooks_call(bv_hooks *hooks, bv_study *study, const bv_search *search);

/* To be called once the search is done: what came after the last round makes a
 * shorter one, unless a hook asked for the end. */
void bv_hooks_last(bv_hooks *hooks, bv_study *study, const bv_search *search);

/* Appends what went wrong in hooks. */
void bv_hooks_report(const bv_hooks *hooks, bv_buffer *text);

/* Ends their process and frees what they hold. */
void bv_hooks_end(bv_hooks *hooks);

#endif
