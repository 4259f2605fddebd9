/* SPDX-License-Identifier: MIT */
/* A sweep: every case of a study searched to a front of its own, in a folder
 * (manifest.h) from which a run that was cut goes on. */
#ifndef BV_RUN_SWEEP_H
#define BV_RUN_SWEEP_H

#include "run/drive.h"

typedef struct bv_sweep_options {
  bv_drive_options drive; /* of each case; keeper and watch are set here */
  const char *folder;     /* where everything goes */
  size_t slice, slices;   /* cases k with k mod slices == slice */
  double checkpoint;      /* s between two checkpoints of the diary */
  bool restart;           /* throw away what an earlier run left */
  const char *const *arguments; /* of the script */
  size_t argument_count;
} bv_sweep_options;

/* As bv_drive_defaults, but 200 faults end a case; one slice, a checkpoint
 * every 2 s. */
bv_sweep_options bv_sweep_defaults(void);

/* Searches the cases of the slice that aren't done yet; a sweep of one slice is
 * merged in the end. A case that fails is noted and the sweep goes on.
 *
 * BV_OK; BV_NO_DESIGN where no case of the slice has a feasible design;
 * BV_INTERRUPTED, BV_TERMINATED: the next run goes on from here. BV_BAD_DATA:
 * the study has no cases, the folder holds another sweep (error tells what
 * differs), or a journal in it is damaged. BV_LOCKED: another process works on
 * the slice. BV_CANNOT_CREATE, BV_CANNOT_WRITE: the next run goes on from the
 * last checkpoint. BV_NO_INPUT, BV_INTERNAL. */
bv_status bv_sweep(bv_study *study, const bv_sweep_options *options,
                   bv_error *error);

#endif
