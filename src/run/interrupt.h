/* SPDX-License-Identifier: MIT */
/* Signals that ask a run to end: the first is remembered, so that the run can
 * end in order; the second ends the process at once. */
#ifndef BV_RUN_INTERRUPT_H
#define BV_RUN_INTERRUPT_H

#include "base/status.h"

/* Minds SIGINT, SIGTERM, SIGHUP and SIGUSR1 from now on. */
void bv_interrupt_mind(void);

/* What was asked for so far: BV_OK (nothing), BV_INTERRUPTED (SIGINT) or
 * BV_TERMINATED (the others). */
bv_status bv_interrupt_asked(void);

#endif
