/* SPDX-License-Identifier: MIT */
#include "run/ends.h"

#include <math.h>

#include "table/front.h"

size_t bv_ends_list(const bv_study *study, bv_limit_end *ends) {
  size_t count, made = 0;
  const bv_limit *limits = bv_study_limits(study, &count);
  for (size_t i = 0; i < count; i++) {
    if (!isinf(limits[i].min))
      ends[made++] = (bv_limit_end){limits[i].name, false, limits[i].min};
    if (!isinf(limits[i].max))
      ends[made++] = (bv_limit_end){limits[i].name, true, limits[i].max};
  }
  return made;
}

void bv_ends_resolve(bv_limit_end *end, const bv_told *told) {
  bv_buffer name = {0};
  if (!isnan(end->bound))
    return;
  bv_buffer_print(&name, BV_BOUND_PREFIX "%s_%s", end->is_max ? "max" : "min",
                  end->name);
  const bv_result *bound = name.failed ? NULL : bv_told_find(told, name.text);
  if (bound)
    end->bound = bound->number;
  bv_buffer_free(&name);
}

void bv_ends_print(const bv_limit_end *end, const char *unit, bv_buffer *text) {
  bv_buffer_print(text, "at %s ", end->is_max ? "most" : "least");
  if (isnan(end->bound))
    bv_buffer_print(text, "what the script computes");
  else
    bv_buffer_print(text, "%.4g%s%s", end->bound, *unit ? " " : "", unit);
}
