/* SPDX-License-Identifier: MIT */
#include "run/clock.h"

#include <time.h>

double bv_clock(void) {
  struct timespec time;
  clock_gettime(CLOCK_MONOTONIC, &time);
  return (double) time.tv_sec + 1e-9 * (double) time.tv_nsec;
}
