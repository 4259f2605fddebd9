/* SPDX-License-Identifier: MIT */
#include "run/sweep_meter.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <unistd.h>

#include "run/clock.h"

/* How often a line is shown, s. */
static const double on_terminal = 0.5, elsewhere = 60;

bv_sweep_meter bv_sweep_meter_begin(bool quiet, uint64_t budget) {
  double now = bv_clock();
  bool terminal = isatty(STDERR_FILENO);
  return (bv_sweep_meter){.quiet = quiet,
                          .terminal = terminal,
                          .budget = budget,
                          .begun = now,
                          .next = now + (terminal ? on_terminal : elsewhere),
                          .synced = now};
}

bool bv_sweep_meter_is_due(const bv_sweep_meter *meter) {
  return !meter->quiet && bv_clock() >= meter->next;
}

bv_standing bv_sweep_meter_read(const bv_sweep_meter *meter,
                                const bv_search *search) {
  bv_search_state state = bv_search_look(search);
  double seconds = bv_clock() - meter->begun;
  double done = (double) (meter->evaluated + state.evaluations) -
                (double) meter->recalled;
  double rate = seconds > 0 && done > 0 ? done / seconds : 0;
  double wanted =
      (double) meter->budget * (double) (meter->cases - meter->settled) -
      (double) state.evaluations;
  return (bv_standing){.cases = meter->cases,
                       .settled = meter->settled,
                       .evaluations = state.evaluations,
                       .feasible = state.feasible,
                       .rate = rate,
                       .hypervolume = state.hypervolume,
                       .left = rate > 0 ? fmax(0, wanted) / rate : HUGE_VAL};
}

void bv_seconds_tell(double seconds, bv_buffer *text) {
  if (!isfinite(seconds))
    bv_buffer_print(text, "unknown");
  else if (seconds < 100)
    bv_buffer_print(text, "%.0f s", seconds);
  else if (seconds < 6000)
    bv_buffer_print(text, "%.0f min", seconds / 60);
  else
    bv_buffer_print(text, "%.1f h", seconds / 3600);
}

void bv_standing_tell(const bv_standing *standing, bv_buffer *text) {
  double all = (double) standing->evaluations;
  bv_buffer_print(text,
                  "%zu of %zu cases, %" PRIu64
                  " evaluations, %.0f/s, feasible %.0f %%, hypervolume %.6g, ",
                  standing->settled, standing->cases, standing->evaluations,
                  standing->rate,
                  all > 0 ? 100 * (double) standing->feasible / all : 0,
                  standing->hypervolume);
  bv_seconds_tell(standing->left, text);
  bv_buffer_print(text, " left");
}

void bv_sweep_meter_show(bv_sweep_meter *meter, const char *name,
                         const bv_standing *standing) {
  bv_buffer line = {0};
  bv_standing_tell(standing, &line);
  bv_buffer_print(&line, ", checkpoint ");
  bv_seconds_tell(bv_clock() - meter->synced, &line);
  bv_buffer_print(&line, " ago; now: %s", name);
  if (!line.failed)
    fprintf(stderr, "%s%s%s", meter->terminal ? "\r\033[K" : "", line.text,
            meter->terminal ? "" : "\n");
  fflush(stderr);
  bv_buffer_free(&line);
  meter->shown = true;
  meter->next = bv_clock() + (meter->terminal ? on_terminal : elsewhere);
}

void bv_sweep_meter_clear(bv_sweep_meter *meter) {
  if (meter->terminal && meter->shown)
    fputs("\r\033[K", stderr);
  meter->shown = false;
}

void bv_standing_print(const bv_standing *standing, bv_buffer *text) {
  bv_buffer_print(text, "%zu %zu %" PRIu64 " %" PRIu64 " %.17g %.17g %.17g",
                  standing->cases, standing->settled, standing->evaluations,
                  standing->feasible, standing->rate, standing->hypervolume,
                  standing->left);
}

bool bv_standing_read(const char *text, bv_standing *standing) {
  return sscanf(text, "%zu %zu %" SCNu64 " %" SCNu64 " %lf %lf %lf",
                &standing->cases, &standing->settled, &standing->evaluations,
                &standing->feasible, &standing->rate, &standing->hypervolume,
                &standing->left) == 7;
}
