/* SPDX-License-Identifier: MIT */
/* A sweep under way. Private to the sweep_… files. */
#ifndef BV_RUN_SWEEP_STATE_H
#define BV_RUN_SWEEP_STATE_H

#include "run/entry.h"
#include "run/journal.h"
#include "run/lock.h"
#include "run/manifest.h"
#include "run/sweep.h"
#include "run/sweep_meter.h"

typedef struct bv_sweep_state {
  bv_study *study;
  const bv_sweep_options *options;
  bv_manifest manifest;
  bv_lock lock;
  bv_journal entries;
  size_t cases;         /* of the study */
  bool *settled;        /* a case: its entry is final */
  size_t designs;       /* cases that have some */
  bv_sweep_meter meter; /* counts the slice's cases */
} bv_sweep_state;

/* Makes the folder, takes the lock and reads what earlier runs left. */
bv_status bv_sweep_open(bv_sweep_state *sweep, bv_error *error);
void bv_sweep_close(bv_sweep_state *sweep); /* what was opened, so far */

/* Throws away what the folder holds of the sweep whose manifest is `there`;
 * what earlier runs of this slice left; files of this slice's cases that a
 * killed run left half written. Files that no sweep has made stay. BV_LOCKED:
 * another process works in the folder; BV_CANNOT_WRITE. */
bv_status bv_sweep_clear_all(const bv_sweep_state *sweep,
                             const bv_manifest *there, bv_error *error);
bv_status bv_sweep_clear_slice(const bv_sweep_state *sweep, bv_error *error);
bv_status bv_sweep_clear_strays(const bv_sweep_state *sweep, bv_error *error);

/* Searches one case and notes how it stands. As bv_sweep. */
bv_status bv_sweep_case(bv_sweep_state *sweep, size_t number, bv_error *error);

#endif
