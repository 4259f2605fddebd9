/* SPDX-License-Identifier: MIT */
/* Progress of a search on standard error: one line kept up to date on a
 * terminal, else a line a minute. */
#ifndef BV_RUN_PROGRESS_H
#define BV_RUN_PROGRESS_H

#include <stdbool.h>

#include "search/search.h"

typedef struct bv_meter {
  bool quiet, terminal;
  bool shown;           /* a line stands on the terminal */
  double next;          /* s, when to show the next line */
  uint64_t evaluations; /* budget */
  double seconds;       /* budget; INFINITY: none */
} bv_meter;

bv_meter bv_meter_begin(bool quiet, uint64_t evaluations, double seconds);

/* Shows where the search stands after so many seconds, if it is time to. */
void bv_meter_show(bv_meter *meter, const bv_search *search, double seconds);

/* Shows on a terminal what takes its time after the search. */
void bv_meter_say(bv_meter *meter, const char *what);

/* Takes the line off the terminal. */
void bv_meter_end(bv_meter *meter);

#endif
