/* SPDX-License-Identifier: MIT */
/* A sweep: every case of a study searched to a front of its own, in a folder
 * from which a run that was cut goes on. */
#ifndef BV_RUN_SWEEP_H
#define BV_RUN_SWEEP_H

#include "run/drive.h"

typedef struct bv_sweep_options {
  bv_drive_options drive; /* of each case */
  const char *folder;     /* where everything goes */
  size_t slice, slices;   /* cases k with k mod slices == slice */
} bv_sweep_options;

/* As bv_drive_defaults; one slice. */
bv_sweep_options bv_sweep_defaults(void);

/* Searches the cases of the slice that aren't done yet. BV_OK; BV_NO_DESIGN
 * where no case has a feasible design; BV_INTERRUPTED, BV_TERMINATED: the next
 * run goes on from here. BV_BAD_DATA: the study has no cases. BV_CANNOT_CREATE,
 * BV_CANNOT_WRITE, BV_INTERNAL: so does the next run. */
bv_status bv_sweep(bv_study *study, const bv_sweep_options *options,
                   bv_error *error);

#endif
