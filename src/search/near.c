/* SPDX-License-Identifier: MIT */
#include "search/near.h"

#include <math.h>

#include "base/number.h"

/* Of what is worked out roughly. */
#define SLACK (1 - 1e-12)

/* Points looked at for a neighbour with three and more objectives, and for kin:
 * of the branch one in so many, but no more than fit; slots that compete for
 * the loneliest (more on a staircase, where a neighbour costs nothing), steps
 * of a staircase among which kin are looked for (BV_NEAR_MOST with more
 * objectives), neighbourhoods for the largest gap, variables compared at once.
 */
enum {
  HANDFUL = 64,
  HANDFUL_MOST = 256,
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

/* Puts a slot into a list sorted by distance, if it is among the nearest and
 * isn't there already. From its place on each is handed to the next place. */
static size_t put_sorted(size_t *slots, double *distances, size_t count,
                         size_t most, size_t slot, double distance) {
  bool is_there = false, moves = false;
  for (size_t i = 0; i < count; i++)
    is_there |= slots[i] == slot;
  if (is_there)
    return count;
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

/* True where a slot lies surely farther away than `enough`: most of a handful
 * does, which a product tells as well as a quotient. That an objective tells it
 * couldn't be foretold, that one of them does mostly is. */
static bool is_far(const bv_search *s, const double *f, size_t other,
                   double enough) {
  const double *known = bv_archive_objectives(&s->front, other);
  bool is = false;
  for (size_t j = 0; j < s->problem->objectives; j++)
    is |= fabs(f[j] - known[j]) * SLACK > enough * s->yardstick.range[j];
  return is;
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

/* Draws the handful; their objectives are far apart in memory, so they are sent
 * for all at once. */
static size_t draw_handful(const bv_archive *front, const size_t *slots,
                           size_t held, bv_random *random, size_t most,
                           size_t *handful) {
  bool all = held <= most;
  size_t count = all ? held : most;
  for (size_t i = 0; i < count; i++) {
    handful[i] = slots[all ? i : bv_random_below(random, held)];
    __builtin_prefetch(bv_archive_objectives(front, handful[i]));
  }
  return count;
}

/* The nearest of HANDFUL random points, or of one in so many where these are
 * more. */
static size_t near_in_handful(const bv_search *s, size_t slot,
                              bv_random *random, size_t one_in,
                              size_t *neighbours, size_t most) {
  const double *f = bv_archive_objectives(&s->front, slot);
  size_t handful[HANDFUL_MOST], held, count = 0;
  const size_t *slots = slots_beside(&s->front, slot, &held);
  size_t wanted = held / one_in < HANDFUL_MOST ? held / one_in : HANDFUL_MOST;
  size_t drawn = draw_handful(&s->front, slots, held, random,
                              wanted > HANDFUL ? wanted : HANDFUL, handful);
  double distances[BV_NEAR_MOST], enough = HUGE_VAL;
  for (size_t i = 0; i < drawn; i++) {
    size_t other = handful[i];
    if (other == slot || is_far(s, f, other, enough))
      continue;
    count = put_sorted(neighbours, distances, count, most, other,
                       bv_near_distance(s, slot, other));
    if (count == most)
      enough = distances[most - 1];
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
             : near_in_handful(s, slot, random, KIN_ONE_IN, neighbours,
                               BV_NEAR_MOST);
}

size_t bv_near(const bv_search *s, size_t slot, bv_random *random,
               size_t *neighbours, size_t most) {
  return s->problem->objectives <= 2
             ? near_on_staircase(s, slot, neighbours, most)
             : near_in_handful(s, slot, random, SIZE_MAX, neighbours, most);
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
  double distances[BV_NEAR_MOST], enough = HUGE_VAL;
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
