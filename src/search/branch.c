/* SPDX-License-Identifier: MIT */
#include "search/branch.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "search/memory.h"

/* What every deficit is raised by, in ranges of the front: so little is made
 * good by luck. */
#define DEFICIT_LEAST 0.02

/* A pool ends where its objectives span less than this, in ranges, or where so
 * many offers in a row replaced no member. */
#define SPAN_LEAST 1e-3
enum { IDLE_MOST = 10 * BV_POOL_SIZE };

/* Evaluations of a branch before it is judged in earnest: a part of what each
 * would get of the budget. */
enum { TRIAL_LEAST = 5, TRIAL_MOST = 10 * BV_POOL_SIZE };
#define TRIAL_PART 0.2

void bv_branches_init(bv_branches *b, const bv_problem *problem,
                      uint64_t evaluations) {
  *b = (bv_branches){.problem = problem, .keys = bv_keys_make(&problem->space)};
  b->count = b->keys.branches;
  double each = (double) evaluations / (double) b->count;
  b->trial = fmin(fmax(TRIAL_PART * each, TRIAL_LEAST), TRIAL_MOST);
  b->list = bv_allocate(b->count, sizeof *b->list);
  for (size_t i = 0; i < b->count; i++) {
    bv_population_init(&b->list[i].pool, problem, BV_POOL_SIZE);
    bv_branch *branch = &b->list[i];
    branch->best.violation = HUGE_VAL;
    branch->before = branch->marked = branch->best;
  }
}

void bv_branches_free(bv_branches *b) {
  for (size_t i = 0; i < b->count; i++)
    bv_population_free(&b->list[i].pool);
  free(b->list);
  *b = (bv_branches){0};
}

/* The distance of two points, squared; beyond `most` it isn't told exactly. */
static double apart(const double *a, const double *b, size_t count,
                    double most) {
  double sum = 0;
  for (size_t i = 0; i < count && sum < most; i++)
    sum += (a[i] - b[i]) * (a[i] - b[i]);
  return sum;
}

static size_t nearest(const bv_population *pool, const double *x) {
  const bv_space *space = &pool->problem->space;
  double units[BV_SPACE_MOST], least = HUGE_VAL;
  size_t best = 0;
  for (size_t i = 0; i < space->count; i++)
    units[i] = bv_variable_encode(&space->variables[i], x[i]);
  for (size_t i = 0; i < pool->count; i++) {
    double d = apart(units, bv_population_units(pool, i), space->count, least);
    if (d < least) {
      least = d;
      best = i;
    }
  }
  return best;
}

static void note_moves(bv_branches *b, bv_branch *branch,
                       const double *objectives) {
  const bv_population *pool = &branch->pool;
  for (size_t j = 0; pool->count > 0 && j < pool->problem->objectives; j++)
    if (objectives[j] != bv_population_objectives(pool, 0)[j])
      branch->moves[j] = b->moves[j] = true;
}

void bv_branches_offer(bv_branches *b, uint64_t life, const double *x,
                       const double *objectives, double violation,
                       size_t rival) {
  bv_branch *branch = &b->list[bv_keys_branch(&b->keys, x)];
  bv_population *pool = &branch->pool;
  note_moves(b, branch, objectives);
  if (life != branch->life)
    return;
  bool room = pool->count < BV_POOL_SIZE;
  if (!room && rival >= pool->count)
    rival = nearest(pool, x);
  int order =
      room ? 0 : bv_population_compare(pool, rival, objectives, violation);
  branch->idle = order < 0 ? branch->idle + 1 : 0;
  if (order > 0)
    bv_population_replace(pool, rival, x, objectives, violation);
  if (order == 0)
    bv_population_offer(pool, x, objectives, violation);
  bv_population_trim(pool);
}

static double behind(const bv_branch *branch, const bv_feat *feat,
                     const bv_archive *front, const bv_yardstick *y) {
  return feat->violation > 0 ? HUGE_VAL
                             : bv_archive_behind(front, feat->objectives,
                                                 branch->moves, y->range);
}

/* What the branch gained since `before` it may gain again; `now`: by how much
 * its best is behind, or the violation of one that breaks limits. */
static double deficit(const bv_branch *branch, double now,
                      const bv_archive *front, const bv_yardstick *y) {
  if (isinf(now)) /* nothing moves in it: a shift leads nowhere */
    return 1;
  double then = branch->best.violation > 0
                    ? branch->before.violation
                    : behind(branch, &branch->before, front, y);
  return fmax(now - (then - now), 0);
}

/* Returns what the better one is behind, or its violation. */
static double keep_better(bv_branch *branch, const double *objectives,
                          double violation, const bv_archive *front,
                          const bv_yardstick *y) {
  bv_feat feat = {.violation = violation};
  memcpy(feat.objectives, objectives,
         front->problem->objectives * sizeof *objectives);
  if (violation > 0 || branch->best.violation > 0) {
    if (violation < branch->best.violation)
      branch->best = feat;
    return branch->best.violation > 0 ? branch->best.violation
                                      : behind(branch, &branch->best, front, y);
  }
  double known = behind(branch, &branch->best, front, y);
  double found = behind(branch, &feat, front, y);
  if (found < known)
    branch->best = feat;
  return fmin(found, known);
}

static void renew_mark(bv_branch *branch) {
  branch->mark = branch->planned;
  branch->before = branch->marked;
  branch->marked = branch->best;
}

static double span(const bv_population *pool, size_t objective) {
  double lo = HUGE_VAL, hi = -HUGE_VAL;
  for (size_t i = 0; i < pool->count; i++) {
    double f = bv_population_objectives(pool, i)[objective];
    lo = fmin(lo, f);
    hi = fmax(hi, f);
  }
  return hi - lo;
}

/* True where the members have come so near to each other, or stood still so
 * long, that their differences lead nowhere any more. */
static bool ended(const bv_branch *branch, const bv_yardstick *y) {
  const bv_population *pool = &branch->pool;
  if (pool->count < BV_POOL_SIZE)
    return false;
  size_t j = 0;
  while (j < pool->problem->objectives &&
         span(pool, j) < SPAN_LEAST * y->range[j])
    j++;
  return j == pool->problem->objectives || branch->idle > IDLE_MOST;
}

static void begin_anew(bv_branch *branch) {
  bv_population_clear(&branch->pool);
  branch->life++;
  branch->begun = branch->planned;
  branch->idle = 0;
}

void bv_branches_judge(bv_branches *b, const double *x,
                       const double *objectives, double violation,
                       const bv_archive *front, const bv_yardstick *y) {
  bv_branch *branch = &b->list[bv_keys_branch(&b->keys, x)];
  double now = keep_better(branch, objectives, violation, front, y);
  branch->deficit = deficit(branch, now, front, y);
  if (branch->planned >= 2 * branch->mark)
    renew_mark(branch);
  if (ended(branch, y))
    begin_anew(branch);
}

/* A deficit told by few evaluations counts little, and beyond the size of the
 * front one is like another. */
static double cost(const bv_branches *b, const bv_branch *branch) {
  double n = (double) branch->planned, trusted = n / (n + b->trial);
  double weight = branch->deficit / (1 + branch->deficit) * trusted * trusted;
  return n * (DEFICIT_LEAST + weight);
}

size_t bv_branches_choose(const bv_branches *b) {
  size_t best = 0;
  double least = cost(b, &b->list[0]);
  for (size_t i = 1; i < b->count; i++) {
    double c = cost(b, &b->list[i]);
    if (c < least) {
      least = c;
      best = i;
    }
  }
  return best;
}

size_t bv_branches_moving(const bv_branches *b,
                          size_t list[BV_OBJECTIVES_MOST]) {
  size_t count = 0;
  for (size_t j = 0; j < b->problem->objectives; j++)
    if (b->moves[j])
      list[count++] = j;
  return count;
}
