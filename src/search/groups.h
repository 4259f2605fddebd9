/* SPDX-License-Identifier: MIT */
/* Slots sorted into groups, such as the points of a front by their branch. */
#ifndef BV_SEARCH_GROUPS_H
#define BV_SEARCH_GROUPS_H

#include <stddef.h>

typedef struct bv_group {
  size_t *slots, count, room; /* in no order */
} bv_group;

typedef struct bv_groups {
  size_t count;    /* groups */
  size_t standing; /* those that hold a slot */
  bv_group *list;
  size_t *of, *place, room; /* a slot: its group, and where it stands there */
} bv_groups;

void bv_groups_init(bv_groups *groups, size_t count);
void bv_groups_free(bv_groups *groups);

/* Puts a slot that is in none into a group, below `count`. */
void bv_groups_add(bv_groups *groups, size_t slot, size_t group);

/* Takes a slot out of its group. */
void bv_groups_remove(bv_groups *groups, size_t slot);

#endif
