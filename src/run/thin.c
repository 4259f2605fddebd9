/* SPDX-License-Identifier: MIT */
#include "run/thin.h"

#include <stdlib.h>
#include <string.h>

#include "search/thin.h"

size_t bv_thin(size_t objectives, bv_candidate *rows, size_t count,
               size_t most) {
  if (most == 0 || count <= most)
    return count;
  double *points = calloc(count * objectives, sizeof *points);
  bool *keep = calloc(count, sizeof *keep);
  size_t kept = count;
  if (points && keep) {
    for (size_t i = 0; i < count; i++)
      memcpy(points + i * objectives, rows[i].told->objectives,
             objectives * sizeof *points);
    bv_thin_points(points, count, objectives, most, keep);
    kept = 0;
    for (size_t i = 0; i < count; i++)
      if (keep[i])
        rows[kept++] = rows[i];
  }
  free(points);
  free(keep);
  return kept;
}
