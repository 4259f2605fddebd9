/* SPDX-License-Identifier: MIT */
/* Drives one search of one study from its first probe to its front. */
#ifndef BV_RUN_DRIVE_H
#define BV_RUN_DRIVE_H

#include "base/text.h"
#include "run/pool.h"
#include "run/steer.h"
#include "script/study.h"
#include "search/search.h"
#include "table/front.h"

typedef struct bv_drive_options {
  bv_search_options search; /* starts are taken from the study */
  double seconds;           /* budget; INFINITY: none */
  size_t jobs;              /* worker processes */
  double point_seconds;     /* one evaluation may take */
  size_t memory_most;       /* bytes of address space a worker may hold */
  size_t rows;              /* most rows of the front; 0: every row */
  size_t near;              /* most designs near it (run/near.h) */
  uint64_t failures_most;   /* give up past so many failed points, those that
                               aren't numbers apart; 0: never */
  const char *seed_designs; /* digest of the starts that a front gave, or "" */
  bool quiet;               /* no progress on standard error */
  const bv_keeper *keeper;  /* NULL: the search can't be continued */
  /* Called after every merge in the place of the progress line; NULL: not. */
  void (*watch)(void *context, const bv_search *search, double seconds);
  void *watch_context;
} bv_drive_options;

/* As the parts have it, one worker a processor, 12 designs near the front. */
bv_drive_options bv_drive_defaults(void);

typedef struct bv_drive_result {
  bv_front front; /* with its origin; no rows: nothing is feasible */
  bv_front near;  /* what a small change of a limit would admit, with it */
  bv_search_state state;
  double seconds;   /* the search took */
  bool gave_up;     /* too many points failed */
  bv_buffer report; /* failed points, why nothing is feasible; lines of text */
} bv_drive_result;

/* BV_OK; BV_NO_DESIGN where nothing is feasible; BV_INTERRUPTED or
 * BV_TERMINATED where a signal ended the search or came before its result was
 * made, be it whole all the same: in these cases the result is filled.
 * BV_BAD_DATA where the script can't be evaluated, BV_INTERNAL, or what the
 * keeper answers: nothing is filled. */
bv_status bv_drive(bv_study *study, const bv_drive_options *options,
                   bv_drive_result *result, bv_error *error);
void bv_drive_free(bv_drive_result *result);

#endif
