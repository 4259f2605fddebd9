/* SPDX-License-Identifier: MIT */
#include "run/sweep.h"

#include <limits.h>
#include <stdio.h>

#include "base/file.h"

bv_sweep_options bv_sweep_defaults(void) {
  bv_sweep_options options = {.drive = bv_drive_defaults(), .slices = 1};
  options.drive.failures_most = 200;
  return options;
}

static bv_status write_front(const bv_sweep_options *options, const char *name,
                             const bv_front *front, bv_error *error) {
  char path[PATH_MAX];
  int used =
      snprintf(path, sizeof path, "%s/cases/%s.csv", options->folder, name);
  if (used < 0 || (size_t) used >= sizeof path)
    return bv_fail(error, BV_CANNOT_CREATE, "%s: path too long", path);
  return bv_front_write(front, path, error);
}

static bv_status search_case(bv_study *study, const bv_sweep_options *options,
                             size_t index, bool *any, bv_error *error) {
  bv_drive_result result;
  bv_study_choose_case(study, index);
  bv_status status = bv_drive(study, &options->drive, &result, error);
  if (status != BV_OK && status != BV_NO_DESIGN && status != BV_INTERRUPTED &&
      status != BV_TERMINATED)
    return status;
  bv_status written = BV_OK;
  *any = *any || result.front.rows > 0;
  if (result.front.rows > 0)
    written = write_front(options, bv_study_case_name(study, index),
                          &result.front, error);
  bv_drive_free(&result);
  if (written != BV_OK)
    return written;
  return status == BV_NO_DESIGN ? BV_OK : status;
}

static bv_status make_folders(const char *folder, bv_error *error) {
  char path[PATH_MAX];
  int used = snprintf(path, sizeof path, "%s/cases", folder);
  if (used < 0 || (size_t) used >= sizeof path)
    return bv_fail(error, BV_CANNOT_CREATE, "%s: path too long", folder);
  return bv_folder_make(path, error);
}

bv_status bv_sweep(bv_study *study, const bv_sweep_options *options,
                   bv_error *error) {
  size_t cases = bv_study_cases(study);
  bool any = false;
  if (cases == 0)
    return bv_fail(error, BV_BAD_DATA, "%s: cases: expected a list, found none",
                   bv_study_path(study));
  bv_status status = make_folders(options->folder, error);
  for (size_t i = options->slice; i < cases && status == BV_OK;
       i += options->slices)
    status = search_case(study, options, i, &any, error);
  if (status != BV_OK)
    return status;
  return any ? BV_OK
             : bv_fail(error, BV_NO_DESIGN, "no case has a feasible design");
}
