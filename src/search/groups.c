/* SPDX-License-Identifier: MIT */
#include "search/groups.h"

#include <stdlib.h>

#include "search/memory.h"

void bv_groups_init(bv_groups *g, size_t count) {
  *g = (bv_groups){.count = count, .list = bv_allocate(count, sizeof *g->list)};
}

void bv_groups_free(bv_groups *g) {
  for (size_t i = 0; i < g->count; i++)
    free(g->list[i].slots);
  free(g->list);
  free(g->of);
  free(g->place);
  *g = (bv_groups){0};
}

static void make_room(bv_groups *g, size_t slot) {
  while (slot >= g->room) {
    size_t room = g->room;
    g->of = bv_grow(g->of, &room, sizeof *g->of);
    g->place = bv_grow(g->place, &g->room, sizeof *g->place);
  }
}

void bv_groups_add(bv_groups *g, size_t slot, size_t group) {
  bv_group *own = &g->list[group];
  make_room(g, slot);
  if (own->count == own->room)
    own->slots = bv_grow(own->slots, &own->room, sizeof *own->slots);
  g->standing += own->count == 0;
  g->of[slot] = group;
  g->place[slot] = own->count;
  own->slots[own->count++] = slot;
}

void bv_groups_remove(bv_groups *g, size_t slot) {
  bv_group *own = &g->list[g->of[slot]];
  size_t last = own->slots[--own->count];
  own->slots[g->place[slot]] = last;
  g->place[last] = g->place[slot];
  g->standing -= own->count == 0;
}
