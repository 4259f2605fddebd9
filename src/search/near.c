/* SPDX-License-Identifier: MIT */
#include "search/near.h"

#include <math.h>

#include "base/number.h"

/* Of what is worked out roughly. */
#define SLACK (1 - 1e-12)

/* Of how many points of the branch one is looked at for kin with three and more
 * objectives, but no more than a handful holds; slots that compete for the
 * loneliest (more on a staircase, where a neighbour costs nothing), steps
 * of a staircase among which kin are looked for (BV_NEAR_MOST with more
 * objectives), neighbourhoods for the largest gap, variables compared at once.
 */
enum {
  KIN_ONE_IN = 12,
  RIVALS = 3,
  STAIR_RIVALS = 10,
  STAIR_KIN = 8,
  NEIGHBOURHOODS = 16,
  FEW = 6
};

double bv_near_distance(const bv_search *s, size_t a, size_t b) {
  const double *fa = bv_archive_objectives(&s->front, a);
  const double *fb = bv_archive_objectives(&s->front, b);
  double largest = 0;
  for (size_t j = 0; j < s->problem->objectives; j++)
    largest = bv_larger(largest, fabs(fa[j] - fb[j]) / s->yardstick.range[j]);
  return largest;
}

static double apart(const bv_search *s, const bv_stair_link *a,
                    const bv_stair_link *b) {
  return bv_larger(fabs(a->first - b->first) / s->yardstick.range[0],
                   fabs(a->second - b->second) / s->yardstick.range[1]);
}

/* Walks outwards from a step, taking the nearer side each time. */
static size_t near_on_staircase(const bv_search *s, size_t slot,
                                size_t *neighbours, size_t most) {
  const bv_stair_link *link = s->front.staircase.link, *own = &link[slot];
  uint32_t side[2] = {own->left, own->right};
  double distance[2];
  for (int k = 0; k < 2; k++)
    if (side[k] != BV_STAIR_NONE)
      distance[k] = apart(s, own, &link[side[k]]);
  size_t count = 0;
  while (count < most &&
         (side[0] != BV_STAIR_NONE || side[1] != BV_STAIR_NONE)) {
    bool is_left = side[0] != BV_STAIR_NONE &&
                   (side[1] == BV_STAIR_NONE || distance[0] < distance[1]);
    int k = is_left ? 0 : 1;
    neighbours[count++] = side[k];
    side[k] = k ? link[side[k]].right : link[side[k]].left;
    if (side[k] != BV_STAIR_NONE)
      distance[k] = apart(s, own, &link[side[k]]);
  }
  return count;
}

/* Puts a slot into a list sorted by distance, if it is among the nearest. From
 * its place on each is handed to the next place. */
static size_t put_sorted(size_t *slots, double *distances, size_t count,
                         size_t most, size_t slot, double distance) {
  bool moves = false;
  for (size_t i = 0; i < count; i++) {
    size_t next_slot = slots[i];
    double next = distances[i];
    moves |= distance < next;
    if (!moves)
      continue;
    slots[i] = slot;
    distances[i] = distance;
    slot = next_slot;
    distance = next;
  }
  if (count == most)
    return count;
  slots[count] = slot;
  distances[count] = distance;
  return count + 1;
}

/* The slots a handful is drawn from: of the same branch, or all where the point
 * stands alone on its own. */
static const size_t *slots_beside(const bv_archive *front, size_t slot,
                                  size_t *count) {
  const size_t *slots = bv_archive_branch(front, slot, count);
  if (*count > 1)
    return slots;
  *count = front->count;
  return front->live;
}

/* Layers of a handful for kin. */
static size_t layers_for_kin(size_t held) {
  size_t layers = held / KIN_ONE_IN / BV_HANDFUL_LAYER;
  if (layers > BV_HANDFUL_LAYERS)
    return BV_HANDFUL_LAYERS;
  return layers > 0 ? layers : 1;
}

/* The handful that a slot's neighbours are looked for in: the same for all of a
 * cell's points that ask on the same branch in a row. */
static const bv_handful *handful_beside(const bv_search *s, size_t slot,
                                        bv_random *random) {
  size_t held;
  const size_t *slots = slots_beside(&s->front, slot, &held);
  bv_search_cache *cache = s->cache;
  if (cache->handful_from != slots || cache->handful_for != s->planned + 1) {
    cache->handful_from = slots;
    cache->handful_for = s->planned + 1;
    bv_handful_draw(&cache->handful, &s->front, slots, held, s->yardstick.range,
                    layers_for_kin(held), random);
  }
  return &cache->handful;
}

/* The nearest in the first layers of a handful. */
static size_t near_in_handful(const bv_search *s, size_t slot,
                              bv_random *random, size_t layers,
                              size_t *neighbours, size_t most) {
  const bv_handful *h = handful_beside(s, slot, random);
  const double *f = bv_archive_objectives(&s->front, slot);
  double drawn[BV_HANDFUL_LAYER], distances[BV_NEAR_MOST], enough = HUGE_VAL;
  size_t count = 0;
  for (size_t k = 0; k < h->layers && k < layers; k++) {
    const size_t *slots = h->slots + k * BV_HANDFUL_LAYER;
    bv_handful_distances(h, s->problem->objectives, k, f, s->yardstick.range,
                         drawn);
    for (size_t i = 0; i < BV_HANDFUL_LAYER; i++) {
      if (drawn[i] >= enough || slots[i] == slot)
        continue;
      count =
          put_sorted(neighbours, distances, count, most, slots[i], drawn[i]);
      if (count == most)
        enough = distances[most - 1];
    }
  }
  return count;
}

/* The more points, the more of them: kin stay as near as they can be found in a
 * front that is known so well, and no nearer, for what is made of points that
 * lie close together goes on with what all of them lack. */
static size_t near_for_kin(const bv_search *s, size_t slot, bv_random *random,
                           size_t *neighbours) {
  return s->problem->objectives <= 2
             ? near_on_staircase(s, slot, neighbours, STAIR_KIN)
             : near_in_handful(s, slot, random, BV_HANDFUL_LAYERS, neighbours,
                               BV_NEAR_MOST);
}

size_t bv_near(const bv_search *s, size_t slot, bv_random *random,
               size_t *neighbours, size_t most) {
  return s->problem->objectives <= 2
             ? near_on_staircase(s, slot, neighbours, most)
             : near_in_handful(s, slot, random, 1, neighbours, most);
}

/* The squared distance of two slots' x, in units; other choices are one apart.
 * Beyond `most` it isn't told exactly: that is seen once in a few variables,
 * for when couldn't be foretold. */
static double unlikeness(const bv_search *s, size_t a, size_t b, double most) {
  const bv_space *space = &s->problem->space;
  const double *ua = bv_archive_units(&s->front, a);
  const double *ub = bv_archive_units(&s->front, b);
  double sum = 0;
  for (size_t i = 0, end; i < space->count && sum < most;)
    for (end = i + FEW < space->count ? i + FEW : space->count; i < end; i++) {
      double apart = ua[i] - ub[i];
      bool is_choice = space->variables[i].scale == BV_SCALE_CHOICE;
      sum += is_choice ? (double) (apart != 0) : apart * apart;
    }
  return sum;
}

size_t bv_near_kin(const bv_search *s, size_t slot, bv_random *random,
                   size_t *kin, size_t most) {
  size_t near[BV_NEAR_MOST], count = 0;
  double distances[BV_NEAR_MOST] = {0}, enough = HUGE_VAL;
  size_t found = near_for_kin(s, slot, random, near);
  for (size_t i = 0; i < found; i++) {
    count = put_sorted(kin, distances, count, most, near[i],
                       unlikeness(s, slot, near[i], enough));
    if (count == most)
      enough = distances[most - 1];
  }
  return count;
}

size_t bv_near_any(const bv_search *s, bv_random *random) {
  return s->front.live[bv_random_below(random, s->front.count)];
}

size_t bv_near_lonely(const bv_search *s, bv_random *random) {
  size_t best = 0, neighbour;
  double farthest = -1;
  int rivals = s->problem->objectives <= 2 ? STAIR_RIVALS : RIVALS;
  for (int i = 0; i < rivals; i++) {
    size_t slot = bv_near_any(s, random);
    double distance = HUGE_VAL;
    if (bv_near(s, slot, random, &neighbour, 1))
      distance = bv_near_distance(s, slot, neighbour);
    if (distance > farthest) {
      farthest = distance;
      best = slot;
    }
  }
  return best;
}

/* The volume of the box around a gap's points, halved a try: a front that has
 * parted is not tried for ever. */
static double gap_size(const bv_search *s, const bv_gap *gap) {
  double volume = 1;
  for (size_t j = 0; j < s->problem->objectives; j++) {
    double lo = HUGE_VAL, hi = -HUGE_VAL;
    for (size_t k = 0; k < gap->count; k++) {
      double f = bv_archive_objectives(&s->front, gap->slots[k])[j];
      lo = bv_smaller(lo, f);
      hi = bv_larger(hi, f);
    }
    if (hi > lo)
      volume *= (hi - lo) / s->yardstick.range[j];
  }
  return ldexp(volume, -(int) s->front.tries[gap->slots[0]]);
}

static void keep_larger(const bv_search *s, bv_gap *best, bv_gap *gap) {
  gap->size = gap_size(s, gap);
  if (gap->count > 1 && (best->count == 0 || gap->size > best->size))
    *best = *gap;
}

/* Between a step of a block and the one before it, which spans an area, unless
 * that can't be larger than the best: what is worked out by a scale first errs
 * by less than SLACK. */
static void keep_larger_step(const bv_search *s, bv_gap *best,
                             bv_stair_block *block, const bv_stair *left,
                             const bv_stair *right) {
  double area = bv_stair_area(left, right);
  const double *range = s->yardstick.range;
  if (area > block->widest)
    block->widest = bv_larger(block->widest,
                              ldexp(area, -(int) s->front.tries[left->slot]));
  if (area / range[0] / range[1] < best->size * SLACK)
    return;
  bv_gap gap = {.slots = {left->slot, right->slot}, .count = 2};
  keep_larger(s, best, &gap);
}

/* A block none of whose gaps can be larger than the best is passed over; how
 * large those of the others are is measured again. */
static void gap_on_staircase(const bv_search *s, bv_gap *best) {
  const bv_staircase *stairs = &s->front.staircase;
  const double *range = s->yardstick.range;
  best->size = 0;
  for (size_t b = 0; b < stairs->blocks; b++) {
    bv_stair_block *block = stairs->block[b];
    const bv_stair *left = b > 0 ? &stairs->last[b - 1] : NULL;
    if (block->widest / range[0] / range[1] < best->size * SLACK)
      continue;
    block->widest = 0;
    for (size_t i = 0; i < block->count; left = &block->steps[i++])
      if (left)
        keep_larger_step(s, best, block, left, &block->steps[i]);
  }
}

static void gap_in_handful(const bv_search *s, bv_random *random,
                           bv_gap *best) {
  for (int i = 0; i < NEIGHBOURHOODS; i++) {
    bv_gap gap;
    gap.slots[0] = bv_near_any(s, random);
    gap.count = 1 + bv_near(s, gap.slots[0], random, gap.slots + 1,
                            s->problem->objectives - 1);
    keep_larger(s, best, &gap);
  }
}

bool bv_near_gap(const bv_search *s, bv_random *random, bv_gap *gap) {
  gap->count = 0;
  if (s->front.count < 2)
    return false;
  if (s->problem->objectives == 2)
    gap_on_staircase(s, gap);
  else
    gap_in_handful(s, random, gap);
  return gap->count > 1;
}
