/* SPDX-License-Identifier: MIT */
#include "search/archive.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "search/memory.h"

void bv_archive_init(bv_archive *a, const bv_problem *problem) {
  *a = (bv_archive){.problem = problem,
                    .stride = problem->space.count + problem->limits,
                    .tree = {.objectives = problem->objectives},
                    .keys = bv_keys_make(&problem->space)};
  bv_groups_init(&a->branches, a->keys.branches);
  a->ends =
      bv_allocate(a->keys.branches * problem->objectives, sizeof *a->ends);
  for (size_t j = 0; j < BV_OBJECTIVES_MOST; j++)
    a->best[j] = HUGE_VAL;
}

void bv_archive_free(bv_archive *a) {
  free(a->data);
  free(a->objectives);
  free(a->units);
  free(a->tries);
  free(a->live);
  free(a->place);
  free(a->removed);
  free(a->ends);
  bv_staircase_free(&a->staircase);
  bv_tree_free(&a->tree);
  bv_groups_free(&a->branches);
  *a = (bv_archive){0};
}

static void make_room(bv_archive *a) {
  size_t room;
#define BV_GROW(field, size)                                                   \
  room = a->room, (field) = bv_grow(field, &room, size)
  BV_GROW(a->data, a->stride * sizeof *a->data);
  BV_GROW(a->objectives, a->problem->objectives * sizeof *a->objectives);
  BV_GROW(a->units, a->problem->space.count * sizeof *a->units);
  BV_GROW(a->tries, sizeof *a->tries);
  BV_GROW(a->live, sizeof *a->live);
  BV_GROW(a->place, sizeof *a->place);
  BV_GROW(a->removed, sizeof *a->removed);
#undef BV_GROW
  a->room = room;
}

/* The slot the next point gets: one given back, or a new one. */
static size_t free_slot(bv_archive *a) {
  if (a->count < a->slots)
    return a->live[a->count];
  if (a->slots == a->room)
    make_room(a);
  a->live[a->slots] = a->slots;
  return a->slots;
}

static size_t least_of(const bv_archive *a, const bv_group *group, size_t j) {
  size_t least = group->slots[0];
  for (size_t i = 1; i < group->count; i++)
    if (bv_archive_objectives(a, group->slots[i])[j] <
        bv_archive_objectives(a, least)[j])
      least = group->slots[i];
  return least;
}

static void join_branch(bv_archive *a, size_t slot, size_t branch) {
  size_t m = a->problem->objectives, *ends = a->ends + branch * m;
  bool alone = a->branches.list[branch].count == 0;
  bv_groups_add(&a->branches, slot, branch);
  for (size_t j = 0; j < m; j++)
    if (alone || bv_archive_objectives(a, slot)[j] <
                     bv_archive_objectives(a, ends[j])[j])
      ends[j] = slot;
}

/* Its ends are looked for again where one leaves. */
static void leave_branch(bv_archive *a, size_t slot) {
  size_t m = a->problem->objectives, branch = a->branches.of[slot];
  const bv_group *group = &a->branches.list[branch];
  bv_groups_remove(&a->branches, slot);
  for (size_t j = 0; group->count > 0 && j < m; j++)
    if (a->ends[branch * m + j] == slot)
      a->ends[branch * m + j] = least_of(a, group, j);
}

static void give_back(bv_archive *a, size_t slot) {
  size_t place = a->place[slot], last = a->live[--a->count];
  a->live[place] = last;
  a->place[last] = place;
  a->live[a->count] = slot;
  if (a->keys.branches > 1)
    leave_branch(a, slot);
}

static double insert_on_staircase(bv_archive *a, const double *f, size_t slot,
                                  const bv_yardstick *y, size_t *removed) {
  bool single = a->problem->objectives == 1;
  bv_stair stair = {.first = f[0], .second = single ? 0 : f[1], .slot = slot};
  double reference[2] = {y->reference[0], single ? 1 : y->reference[1]};
  double gain =
      bv_staircase_insert(&a->staircase, stair, reference, a->removed, removed);
  return gain < 0 ? -1 : gain / (y->range[0] * (single ? 1 : y->range[1]));
}

static double insert_in_tree(bv_archive *a, const double *f, size_t slot,
                             const bv_yardstick *y, size_t *removed) {
  double lead = bv_tree_lead(&a->tree, f, y->range);
  if (lead <= 0)
    return -1;
  bv_tree_insert(&a->tree, f, slot, a->removed, removed);
  return pow(fmin(lead, 1), (double) a->problem->objectives);
}

static void fill_slot(bv_archive *a, size_t slot, const double *x,
                      const double *objectives, const double *limits) {
  const bv_problem *p = a->problem;
  double *data = a->data + slot * a->stride;
  double *units = a->units + slot * p->space.count;
  memcpy(data, x, p->space.count * sizeof *x);
  memcpy(a->objectives + slot * p->objectives, objectives,
         p->objectives * sizeof *x);
  if (p->limits)
    memcpy(data + p->space.count, limits, p->limits * sizeof *x);
  for (size_t i = 0; i < p->space.count; i++)
    units[i] = bv_variable_encode(&p->space.variables[i], x[i]);
}

double bv_archive_offer(bv_archive *a, const double *x,
                        const double *objectives, const double *limits,
                        const bv_yardstick *yardstick) {
  size_t slot = free_slot(a), removed = 0;
  double gain =
      a->problem->objectives <= 2
          ? insert_on_staircase(a, objectives, slot, yardstick, &removed)
          : insert_in_tree(a, objectives, slot, yardstick, &removed);
  a->removed_count = gain < 0 ? 0 : removed;
  if (gain < 0)
    return gain;
  fill_slot(a, slot, x, objectives, limits);
  a->tries[slot] = 0;
  a->place[slot] = a->count;
  a->live[a->count++] = slot;
  if (a->count > a->slots)
    a->slots = a->count;
  if (a->keys.branches > 1)
    join_branch(a, slot, bv_keys_branch(&a->keys, x));
  for (size_t i = 0; i < removed; i++) {
    a->advance +=
        bv_lead_over(bv_archive_objectives(a, a->removed[i]), objectives,
                     yardstick->range, a->problem->objectives);
    give_back(a, a->removed[i]);
  }
  for (size_t j = 0; j < a->problem->objectives; j++)
    a->best[j] = fmin(a->best[j], objectives[j]);
  a->version++;
  return gain;
}

/* A staircase takes a single objective as two of which the second is 0. */
typedef struct pair {
  double point[2], scale[2];
} pair;

static pair pair_of(const bv_archive *a, const double *f, const double *scale) {
  bool single = a->problem->objectives == 1;
  return (pair){{f[0], single ? 0 : f[1]}, {scale[0], single ? 1 : scale[1]}};
}

double bv_archive_lead(const bv_archive *a, const double *f,
                       const double *scale) {
  if (a->problem->objectives > 2)
    return bv_tree_lead(&a->tree, f, scale);
  pair p = pair_of(a, f, scale);
  return bv_staircase_lead(&a->staircase, p.point, p.scale);
}

void bv_archive_lower(const bv_archive *a, bv_ahead *ahead) {
  if (a->problem->objectives > 2)
    bv_tree_lower(&a->tree, ahead);
  else
    bv_ahead_lower(ahead,
                   bv_smaller(ahead->lead,
                              bv_archive_lead(a, ahead->point, ahead->scale)));
}

double bv_archive_behind(const bv_archive *a, const double *f,
                         const bool *moves, const double *scale) {
  if (a->problem->objectives > 2)
    return bv_tree_behind(&a->tree, f, moves, scale);
  pair p = pair_of(a, f, scale);
  bool both[2] = {moves[0], a->problem->objectives > 1 && moves[1]};
  return bv_staircase_behind(&a->staircase, p.point, both, p.scale);
}

const size_t *bv_archive_branch(const bv_archive *a, size_t slot,
                                size_t *count) {
  if (a->keys.branches == 1) {
    *count = a->count;
    return a->live;
  }
  const bv_group *own = &a->branches.list[a->branches.of[slot]];
  *count = own->count;
  return own->slots;
}

void bv_archive_worst(const bv_archive *a, double *worst) {
  size_t m = a->problem->objectives;
  if (m > 2) {
    bv_tree_worst(&a->tree, worst);
    return;
  }
  const bv_staircase *stairs = &a->staircase;
  worst[0] = bv_staircase_at(stairs, bv_staircase_last(stairs))->first;
  if (m > 1)
    worst[1] = bv_staircase_at(stairs, bv_staircase_begin(stairs))->second;
}

double *bv_archive_copy_objectives(const bv_archive *a) {
  size_t m = a->problem->objectives;
  double *copy = bv_allocate(a->count * m, sizeof *copy);
  for (size_t i = 0; i < a->count; i++)
    memcpy(copy + i * m, bv_archive_objectives(a, a->live[i]),
           m * sizeof *copy);
  return copy;
}
