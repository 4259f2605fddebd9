/* SPDX-License-Identifier: MIT */
/* A limit for work in this process that counts no steps and that nothing else
 * watches: a script that searches for a pattern while it is loaded. */
#ifndef BV_RUN_DEADLINE_H
#define BV_RUN_DEADLINE_H

/* Processor time that such work may take, s: more than the steps of loading. */
#define BV_DEADLINE 10.0

/* From now on: once the time is used up, the line `text` (copied; a path and 80
 * bytes at most) goes to standard error and the process ends with the exit code
 * of BV_BAD_DATA. Only where there is nothing to save. The end leaves SIGPROF
 * as it was. */
void bv_deadline_begin(const char *text);
void bv_deadline_end(void);

#endif
