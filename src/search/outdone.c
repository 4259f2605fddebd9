/* SPDX-License-Identifier: MIT */
#include "search/outdone.h"

#include <stdlib.h>
#include <string.h>

#include "search/memory.h"

void bv_outdone_init(bv_outdone *o, size_t variables) {
  *o = (bv_outdone){.variables = variables};
  o->units = bv_allocate(BV_OUTDONE * variables, sizeof *o->units);
}

void bv_outdone_free(bv_outdone *o) {
  free(o->units);
  *o = (bv_outdone){0};
}

void bv_outdone_add(bv_outdone *o, const bv_archive *front) {
  for (size_t i = 0; i < front->removed_count; i++)
    memcpy(o->units + o->count++ % BV_OUTDONE * o->variables,
           bv_archive_units(front, front->removed[i]),
           o->variables * sizeof *o->units);
}
