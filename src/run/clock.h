/* SPDX-License-Identifier: MIT */
#ifndef BV_RUN_CLOCK_H
#define BV_RUN_CLOCK_H

/* Seconds since some moment in the past, never running back. */
double bv_clock(void);

#endif
