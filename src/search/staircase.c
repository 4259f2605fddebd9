/* SPDX-License-Identifier: MIT */
#include "search/staircase.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "search/memory.h"

void bv_staircase_free(bv_staircase *s) {
  for (size_t i = 0; i < s->blocks; i++)
    free(s->block[i]);
  free(s->block);
  free(s->last);
  free(s->link);
  *s = (bv_staircase){0};
}

/* Whether a step lies before a place; holds for all steps up to some place and
 * for none from there on. */
typedef bool before_place(const void *context, const bv_stair *step);

/* How many of the steps in a row are `before`. No branch depends on a step, for
 * none could be foretold. */
static inline size_t count_before(const bv_stair *steps, size_t count,
                                  before_place *before, const void *context) {
  size_t begin = 0;
  while (count > 0) {
    size_t half = count / 2;
    begin += (size_t) before(context, &steps[begin + half]) * (count - half);
    count = half;
  }
  return begin;
}

/* The first step that isn't `before`. Inlined, so that the commonest search
 * calls nothing. */
static inline bv_stair_place part(const bv_staircase *s, before_place *before,
                                  const void *context) {
  size_t at = count_before(s->last, s->blocks, before, context);
  if (at == s->blocks)
    return (bv_stair_place){at, 0};
  const bv_stair_block *block = s->block[at];
  return (bv_stair_place){
      at, count_before(block->steps, block->count, before, context)};
}

static bool is_less(const void *first, const bv_stair *step) {
  return step->first < *(const double *) first;
}

typedef struct ahead {
  const double *point, *scale;
} ahead;

static double lead_of(const ahead *a, int j, double known) {
  return (known - a->point[j]) / a->scale[j];
}

static bool second_leads(const void *context, const bv_stair *step) {
  return lead_of(context, 0, step->first) < lead_of(context, 1, step->second);
}

/* The lead in one objective rises along the staircase, that in the other falls:
 * the least of the larger ones is where they meet. */
double bv_staircase_lead(const bv_staircase *s, const double point[2],
                         const double scale[2]) {
  ahead a = {point, scale};
  bv_stair_place place = part(s, second_leads, &a);
  const bv_stair *right = bv_staircase_at(s, place);
  const bv_stair *left = bv_staircase_at(s, bv_staircase_before(s, place));
  double lead = right ? lead_of(&a, 0, right->first) : HUGE_VAL;
  return left ? bv_smaller(lead, lead_of(&a, 1, left->second)) : lead;
}

/* A point that stands behind a staircase. */
typedef struct standing {
  const double *point, *scale;
  const bool *moves;
} standing;

static double shift_of(const standing *s, int j, double known) {
  return s->moves[j] ? (s->point[j] - known) / s->scale[j] : HUGE_VAL;
}

/* The shift of the moving objectives that brings them beside one step; 0 where
 * they are. */
static double shift(const standing *s, const bv_stair *step) {
  if (!step || step->first > s->point[0] || step->second > s->point[1])
    return 0;
  return bv_smaller(shift_of(s, 0, step->first), shift_of(s, 1, step->second));
}

/* Of the steps that are better, those where the second objective decides. */
static bool second_decides(const void *context, const bv_stair *step) {
  const standing *s = context;
  return step->second > s->point[1] ||
         (step->first <= s->point[0] &&
          shift_of(s, 1, step->second) < shift_of(s, 0, step->first));
}

/* Along a staircase one shift falls and the other rises, so the larger of the
 * lesser ones is where they meet. */
double bv_staircase_behind(const bv_staircase *stairs, const double point[2],
                           const bool moves[2], const double scale[2]) {
  standing s = {point, scale, moves};
  bv_stair_place place = part(stairs, second_decides, &s);
  bv_stair_place before = bv_staircase_before(stairs, place);
  return bv_larger(shift(&s, bv_staircase_at(stairs, place)),
                   shift(&s, bv_staircase_at(stairs, before)));
}

static void insert_block(bv_staircase *s, size_t at) {
  if (s->blocks == s->room) {
    size_t room = s->room;
    s->block = bv_grow(s->block, &room, sizeof *s->block);
    s->last = bv_grow(s->last, &s->room, sizeof *s->last);
  }
  size_t moved = s->blocks++ - at;
  memmove(s->block + at + 1, s->block + at, moved * sizeof *s->block);
  memmove(s->last + at + 1, s->last + at, moved * sizeof *s->last);
  s->block[at] = bv_reserve(1, sizeof **s->block);
  s->block[at]->count = 0;
  s->block[at]->widest = 0;
}

static void note_last(bv_staircase *s, size_t block) {
  s->last[block] = s->block[block]->steps[s->block[block]->count - 1];
}

/* Moves the upper half of a full block to a new one behind it. */
static void split_block(bv_staircase *s, size_t at) {
  insert_block(s, at + 1);
  bv_stair_block *from = s->block[at], *to = s->block[at + 1];
  to->count = BV_STAIR_BLOCK / 2;
  to->widest = from->widest;
  from->count = BV_STAIR_BLOCK - BV_STAIR_BLOCK / 2;
  memcpy(to->steps, from->steps + from->count, to->count * sizeof *to->steps);
  note_last(s, at);
  note_last(s, at + 1);
}

/* Where nothing is removed two neighbours only come closer. */
static void note_area(bv_staircase *s, bv_stair_place place) {
  const bv_stair *step = bv_staircase_at(s, place);
  const bv_stair *left = bv_staircase_at(s, bv_staircase_before(s, place));
  if (!step || !left)
    return;
  double *widest = &s->block[place.block]->widest;
  *widest = bv_larger(*widest, bv_stair_area(left, step));
}

static void add(bv_staircase *s, bv_stair_place place, bv_stair point) {
  if (s->blocks == 0)
    insert_block(s, 0);
  if (place.block == s->blocks)
    place = (bv_stair_place){s->blocks - 1, s->block[s->blocks - 1]->count};
  /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference): never a NULL block */
  if (s->block[place.block]->count == BV_STAIR_BLOCK) {
    split_block(s, place.block);
    size_t kept = s->block[place.block]->count;
    if (place.index > kept)
      place = (bv_stair_place){place.block + 1, place.index - kept};
  }
  bv_stair_block *block = s->block[place.block];
  memmove(block->steps + place.index + 1, block->steps + place.index,
          (block->count++ - place.index) * sizeof *block->steps);
  block->steps[place.index] = point;
  note_last(s, place.block);
  note_area(s, place);
  note_area(s, bv_staircase_next(s, place));
  s->count++;
}

/* Removes the step at a place; the place then holds the next step. */
static bv_stair_place take_out(bv_staircase *s, bv_stair_place place) {
  bv_stair_block *block = s->block[place.block];
  s->count--;
  block->count--;
  memmove(block->steps + place.index, block->steps + place.index + 1,
          (block->count - place.index) * sizeof *block->steps);
  if (place.index < block->count)
    return place;
  if (block->count > 0) {
    note_last(s, place.block);
    return (bv_stair_place){place.block + 1, 0};
  }
  free(block);
  size_t moved = --s->blocks - place.block;
  memmove(s->block + place.block, s->block + place.block + 1,
          moved * sizeof *s->block);
  memmove(s->last + place.block, s->last + place.block + 1,
          moved * sizeof *s->last);
  return (bv_stair_place){place.block, 0};
}

/* The area between x values and a height above the point, below the reference.
 */
static double strip(double from, double to, double height, double floor,
                    const double reference[2]) {
  double width = fmin(to, reference[0]) - fmin(from, reference[0]);
  double tall = fmin(height, reference[1]) - floor;
  return tall > 0 ? width * tall : 0;
}

static void link_step(bv_staircase *s, const bv_stair *point, uint32_t left,
                      uint32_t right) {
  while (point->slot >= s->links)
    s->link = bv_grow(s->link, &s->links, sizeof *s->link);
  s->link[point->slot] =
      (bv_stair_link){point->first, point->second, left, right};
  if (left != BV_STAIR_NONE)
    s->link[left].right = (uint32_t) point->slot;
  if (right != BV_STAIR_NONE)
    s->link[right].left = (uint32_t) point->slot;
}

double bv_staircase_insert(bv_staircase *s, bv_stair point,
                           const double reference[2], size_t *removed,
                           size_t *removed_count) {
  bv_stair_place place = part(s, is_less, &point.first);
  const bv_stair *step = bv_staircase_at(s, place);
  const bv_stair *left = bv_staircase_at(s, bv_staircase_before(s, place));
  *removed_count = 0;
  if ((left && left->second <= point.second) ||
      (step && step->first == point.first && step->second <= point.second))
    return -1;
  double height = left ? left->second : HUGE_VAL, from = point.first, gain = 0;
  uint32_t left_slot = left ? (uint32_t) left->slot : BV_STAIR_NONE;
  while (step && step->second >= point.second) {
    gain += strip(from, step->first, height, point.second, reference);
    from = step->first;
    height = step->second;
    removed[(*removed_count)++] = step->slot;
    place = take_out(s, place);
    step = bv_staircase_at(s, place);
  }
  gain += strip(from, step ? step->first : HUGE_VAL, height, point.second,
                reference);
  link_step(s, &point, left_slot, step ? (uint32_t) step->slot : BV_STAIR_NONE);
  add(s, place, point);
  return gain;
}
