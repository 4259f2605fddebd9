/* SPDX-License-Identifier: MIT */
#include "run/single.h"

#include <stdlib.h>

#include "run/build.h"

bv_status bv_single_tell(bv_study *study, const double *x, double point_seconds,
                         bv_told *told, bv_front *front, bv_error *error) {
  const bv_problem *problem = bv_study_problem(study);
  bv_pool_options options = bv_pool_defaults();
  options.point_seconds = point_seconds;
  options.describe = bv_tell;
  options.describe_context = study;
  bv_pool *pool;
  bv_told *all = NULL;
  *told = (bv_told){0};
  *front = (bv_front){0};
  bv_study_verify_designs(study);
  bv_status status = bv_pool_new(problem, &options, &pool, error);
  if (status == BV_OK)
    status = bv_tell_all(pool, problem, x, 1, &all, error);
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
  bv_pool_free(pool);
  return status;
}
