/* SPDX-License-Identifier: MIT */
#include "run/progress.h"

#include <math.h>
#include <stdio.h>
#include <unistd.h>

#include "run/clock.h"

/* How often a line is shown, s. */
static const double on_terminal = 0.2, elsewhere = 60;

bv_meter bv_meter_begin(bool quiet, uint64_t evaluations, double seconds) {
  bool terminal = isatty(STDERR_FILENO);
  return (bv_meter){.quiet = quiet,
                    .terminal = terminal,
                    .next = terminal ? on_terminal : elsewhere,
                    .evaluations = evaluations,
                    .seconds = seconds};
}

/* Seconds left by whichever budget ends first. */
static double seconds_left(const bv_meter *meter, uint64_t evaluations,
                           double seconds) {
  double rate = (double) evaluations / seconds;
  double left = ((double) meter->evaluations - (double) evaluations) / rate;
  return fmax(0, fmin(left, meter->seconds - seconds));
}

void bv_meter_show(bv_meter *meter, const bv_search *search, double seconds) {
  if (meter->quiet || seconds < meter->next)
    return;
  double begun = bv_clock();
  bv_search_state state = bv_search_look(search);
  /* Telling takes at most a twentieth of the time. */
  double pause = 19 * (bv_clock() - begun);
  meter->next =
      seconds + fmax(pause, meter->terminal ? on_terminal : elsewhere);
  meter->shown = true;
  double done = (double) state.evaluations;
  fprintf(stderr,
          "%s%llu of %llu evaluations, %.0f/s, feasible %.0f %%, front %zu, "
          "hypervolume %.6g, %.0f s left%s",
          meter->terminal ? "\r\033[K" : "",
          (unsigned long long) state.evaluations,
          (unsigned long long) meter->evaluations, done / seconds,
          done > 0 ? 100 * (double) state.feasible / done : 0, state.front,
          state.hypervolume, seconds_left(meter, state.evaluations, seconds),
          meter->terminal ? "" : "\n");
  fflush(stderr);
}

void bv_meter_say(bv_meter *meter, const char *what) {
  if (meter->quiet || !meter->terminal)
    return;
  fprintf(stderr, "\r\033[K%s", what);
  fflush(stderr);
  meter->shown = true;
}

void bv_meter_end(bv_meter *meter) {
  if (meter->terminal && meter->shown)
    fputs("\r\033[K", stderr);
  meter->shown = false;
}
