/* SPDX-License-Identifier: MIT */
#include "run/single.h"

#include <stdlib.h>

#include "run/build.h"

bv_status bv_single_tell(bv_study *study, const double *x, double point_seconds,
                         bv_told *told, bv_front *front, bv_error *error) {
  bv_told *all;
  *told = (bv_told){0};
  *front = (bv_front){0};
  bv_study_verify_designs(study);
  bv_status status =
      bv_tell_in_new_pool(study, x, 1, point_seconds, &all, error);
  if (status == BV_OK) {
    bv_candidate row = {x, &all[0]};
    status = bv_front_build(study, &row, 1, front, error);
  }
  if (status == BV_OK)
    *told = all[0];
  else
    bv_told_free_all(all, all ? 1 : 0);
  if (status == BV_OK)
    free(all);
  return status;
}
