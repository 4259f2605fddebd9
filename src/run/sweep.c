/* SPDX-License-Identifier: MIT */
#include "run/sweep.h"

#include <stdio.h>
#include <string.h>

#include "run/collect.h"
#include "run/interrupt.h"
#include "run/sweep_state.h"

bv_sweep_options bv_sweep_defaults(void) {
  bv_sweep_options options = {
      .drive = bv_drive_defaults(), .slices = 1, .checkpoint = 2};
  options.drive.failures_most = 200;
  return options;
}

static bv_status search_cases(bv_sweep_state *sweep, bv_error *error) {
  const bv_sweep_options *options = sweep->options;
  bv_status status = BV_OK;
  for (size_t i = options->slice; i < sweep->cases && status == BV_OK;
       i += options->slices)
    if (!sweep->settled[i]) {
      status = bv_interrupt_asked();
      if (status == BV_OK)
        status = bv_sweep_case(sweep, i, error);
    }
  return status;
}

static bool is_signal(bv_status status) {
  return status == BV_INTERRUPTED || status == BV_TERMINATED;
}

/* Where cases ask for different things, the easiest may dominate all others. */
static void tell_hidden(const bv_sweep_state *sweep, size_t shown) {
  size_t cases = sweep->meter.cases;
  if (shown > 0 && shown < cases)
    fprintf(stderr,
            "front.csv has rows of %zu of %zu cases; those of the others are "
            "dominated or absent: each has its front in cases/\n",
            shown, cases);
}

static void tell_end(const bv_sweep_state *sweep, size_t shown) {
  const bv_sweep_options *options = sweep->options;
  const bv_sweep_meter *meter = &sweep->meter;
  if (options->drive.quiet)
    return;
  if (options->slices == 1) {
    fprintf(stderr, "%zu of %zu cases are over: %s/index.csv%s%s%s\n",
            meter->settled, meter->cases, options->folder,
            sweep->designs > 0 ? ", " : "",
            sweep->designs > 0 ? options->folder : "",
            sweep->designs > 0 ? "/front.csv" : "");
    tell_hidden(sweep, shown);
  } else {
    fprintf(stderr,
            "slice %zu/%zu: %zu of %zu cases are over; 'brimvolt merge %s' "
            "makes index and front of all slices\n",
            options->slice, options->slices, meter->settled, meter->cases,
            options->folder);
  }
}

/* A sweep of one slice collects its fronts itself, even when it is cut. */
static bv_status finish(bv_sweep_state *sweep, bv_status status,
                        bv_error *error) {
  size_t shown = 0;
  bv_sweep_meter_clear(&sweep->meter);
  if (status != BV_OK && !is_signal(status))
    return status;
  if (sweep->options->slices == 1) {
    bv_status collected = bv_collect(sweep->options->folder, &shown, error);
    if (collected != BV_OK && collected != BV_NO_DESIGN)
      return collected;
  }
  if (is_signal(status))
    return bv_fail(error, status, "%s; %zu of %zu cases are done",
                   bv_status_meaning(status), sweep->meter.settled,
                   sweep->meter.cases);
  tell_end(sweep, shown);
  if (sweep->designs == 0 && sweep->meter.cases > 0)
    return bv_fail(error, BV_NO_DESIGN, "no case has a feasible design");
  return BV_OK;
}

bv_status bv_sweep(bv_study *study, const bv_sweep_options *options,
                   bv_error *error) {
  bv_sweep_state sweep = {.study = study,
                          .options = options,
                          .cases = bv_study_cases(study),
                          .lock = {.descriptor = -1},
                          .entries = {.descriptor = -1}};
  if (sweep.cases == 0)
    return bv_fail(error, BV_BAD_DATA, "%s: cases: expected a list, found none",
                   bv_study_path(study));
  bv_interrupt_mind(options->drive.quiet);
  sweep.meter = bv_sweep_meter_begin(options->drive.quiet,
                                     options->drive.search.evaluations);
  sweep.meter.cases =
      bv_slice_cases(sweep.cases, options->slice, options->slices);
  bv_status status = bv_sweep_open(&sweep, error);
  if (status == BV_OK)
    status = finish(&sweep, search_cases(&sweep, error), error);
  bv_sweep_close(&sweep);
  return status;
}
