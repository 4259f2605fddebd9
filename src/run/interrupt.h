/* SPDX-License-Identifier: MIT */
/* Signals that ask a run to end: the first is remembered, so that the run can
 * end in order; the second ends the process at once. */
#ifndef BV_RUN_INTERRUPT_H
#define BV_RUN_INTERRUPT_H

#include <stdbool.h>

#include "base/status.h"

/* Minds SIGINT, SIGTERM, SIGHUP and SIGUSR1 from now on; unless quiet, the
 * first is answered by a line on standard error. */
void bv_interrupt_mind(bool quiet);

/* While there is nothing to save, the first signal ends the process too. */
void bv_interrupt_at_once(bool at_once);

/* True once a run that was asked to end has had ten seconds for it (9 to 10:
 * the clock is read in whole seconds): what isn't evaluated by then is left as
 * it is. */
bool bv_interrupt_is_late(void);

/* What was asked for so far: BV_OK (nothing), BV_INTERRUPTED (SIGINT) or
 * BV_TERMINATED (the others). */
bv_status bv_interrupt_asked(void);

#endif
