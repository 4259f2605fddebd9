/* SPDX-License-Identifier: MIT */
/* The script's hooks during a search. */
#ifndef BV_RUN_HOOKS_H
#define BV_RUN_HOOKS_H

#include <stdbool.h>

#include "base/text.h"
#include "script/study.h"
#include "search/search.h"

/* Start from {0}. */
typedef struct bv_hooks {
  uint64_t merges, rounds;
  bool known[BV_OBJECTIVES_MOST];
  double best[BV_OBJECTIVES_MOST]; /* smallest so far, as the search sees it */
  bv_buffer failures;              /* messages of hooks that failed */
} bv_hooks;

/* To be called after every merge; every 32nd ends a round, which is told to
 * the script. False where a hook asks for the end of the search. */
bool bv_hooks_call(bv_hooks *hooks, bv_study *study, const bv_search *search);

/* Appends what went wrong in hooks, and frees what the hooks hold. */
void bv_hooks_report(bv_hooks *hooks, bv_buffer *text);

#endif
