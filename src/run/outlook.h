/* SPDX-License-Identifier: MIT */
/* The outlook of a sweep from its files alone, whoever works on it and
 * wherever.
 */
#ifndef BV_RUN_OUTLOOK_H
#define BV_RUN_OUTLOOK_H

#include "run/entry.h"
#include "run/manifest.h"
#include "run/sweep_meter.h"

/* How a slice stands. */
typedef enum bv_slice_state {
  BV_SLICE_WAITING, /* nothing is there yet */
  BV_SLICE_STOPPED, /* begun, nobody works on it */
  BV_SLICE_RUNNING,
  BV_SLICE_DONE,
  BV_SLICE_DAMAGED
} bv_slice_state;

typedef struct bv_slice {
  bv_slice_state state;
  size_t cases, settled, statuses[BV_CASE_COUNT];
  uint64_t outcomes[BV_OUTCOME_COUNT];
  char owner[512];      /* of the lock: host, boot, process, start */
  char under_way[128];  /* name of the case, "" where none is */
  bool known;           /* standing and age are */
  bv_standing standing; /* at the last checkpoint */
  double age;           /* of that, s */
  char trouble[256];    /* where it is damaged */
} bv_slice;

typedef struct bv_outlook {
  bv_manifest manifest;
  size_t slices;
  bv_slice *slice;
} bv_outlook;

/* BV_NO_INPUT: the folder holds no sweep; BV_BAD_DATA: its manifest is damaged;
 * BV_INTERNAL: out of memory. A slice that is damaged is part of the answer. */
bv_status bv_outlook_make(const char *folder, bv_outlook *outlook,
                          bv_error *error);
void bv_outlook_free(bv_outlook *outlook);

/* Appends a table of slices and a summary. */
void bv_outlook_tell(const bv_outlook *outlook, bv_buffer *text);

/* Appends the slices that aren't done and that nobody works on, in the form
 * that a job array takes ("0,3-5"); nothing where there are none. */
void bv_outlook_missing(const bv_outlook *outlook, bv_buffer *text);

#endif
