/* SPDX-License-Identifier: MIT */
/* The crew: the worker processes of a pool, kept alive and watched. Private to
 * the pool. */
#ifndef BV_RUN_CREW_H
#define BV_RUN_CREW_H

#include <poll.h>
#include <sys/types.h>

#include "run/board.h"

/* A worker process as its parent sees it. */
typedef struct bv_member {
  pid_t pid;         /* 0: none */
  int bell;          /* eventfd that wakes it */
  bool condemned;    /* killed because an evaluation overstayed, … */
  uint64_t work;     /* … this piece of work, … */
  uint64_t at_beats; /* … at this beat */
} bv_member;

typedef struct bv_crew {
  bv_worker
      common; /* what every worker is born with, `self` and `bell` apart */
  bv_member *members;
  struct pollfd *watched; /* the wake eventfd, then a lifeline a member */
  size_t replaced, idle_deaths;
  double looked; /* s, when the evaluations were last looked at */
} bv_crew;

/* Starts all workers of common->options. BV_INTERNAL. */
bv_status bv_crew_start(bv_crew *crew, bv_error *error);
void bv_crew_end(bv_crew *crew);

/* Wakes a sleeping worker, if there is one. */
void bv_crew_ring(bv_crew *crew);

/* Sleeps until the parent is woken, a worker dies, a signal comes in
 * (*signalled) or so many milliseconds are over. */
bv_status bv_crew_sleep(bv_crew *crew, int milliseconds, bool *signalled,
                        bv_error *error);

/* Kills workers whose evaluation overstays; looks at most every 50 ms. */
void bv_crew_watch(bv_crew *crew);

/* Replaces busy workers; what they had in hand is DONE. */
bv_status bv_crew_abandon(bv_crew *crew, bv_error *error);

#endif
