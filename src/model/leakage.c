/* SPDX-License-Identifier: MIT */
#include "model/leakage.h"

#include <math.h>

#include "base/constants.h"

double bv_leakage(const bv_leakage_path *path) {
  double per_part = path->turns / path->interfaces;
  return BV_MU0 * per_part * per_part * path->mean_turn / path->width *
         (path->copper / 3 + path->space);
}

double bv_leakage_rogowski(const bv_leakage_path *path) {
  /* Each interface has its own field with its own ends. */
  double build = (path->copper + path->space) / path->interfaces;
  double ratio = BV_PI * path->width / build;
  return bv_leakage(path) * (1 + expm1(-ratio) / ratio);
}
