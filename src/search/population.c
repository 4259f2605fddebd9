/* SPDX-License-Identifier: MIT */
#include "search/population.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "search/memory.h"

static size_t stride(const bv_population *p) {
  return p->problem->space.count + p->problem->objectives;
}

void bv_population_init(bv_population *p, const bv_problem *problem,
                        size_t size) {
  *p = (bv_population){.problem = problem, .size = size};
}

void bv_population_free(bv_population *p) {
  free(p->members);
  free(p->rows);
  *p = (bv_population){0};
}

const double *bv_population_x(const bv_population *p, size_t i) {
  return p->rows + p->members[i].row * stride(p);
}

static const double *objectives_of(const bv_population *p, const bv_member *m) {
  return p->rows + m->row * stride(p) + p->problem->space.count;
}

const double *bv_population_objectives(const bv_population *p, size_t i) {
  return objectives_of(p, &p->members[i]);
}

void bv_population_clear(bv_population *p) {
  p->count = 0;
}

void bv_population_offer(bv_population *p, const double *x,
                         const double *objectives, double violation) {
  if (p->count == p->room) {
    size_t room = p->room;
    p->rows = bv_grow(p->rows, &room, stride(p) * sizeof *p->rows);
    p->members = bv_grow(p->members, &p->room, sizeof *p->members);
    for (size_t i = p->count; i < p->room; i++)
      p->members[i].row = i;
  }
  bv_population_replace(p, p->count++, x, objectives, violation);
}

void bv_population_replace(bv_population *p, size_t i, const double *x,
                           const double *objectives, double violation) {
  bv_member *member = &p->members[i];
  member->violation = violation;
  double *row = p->rows + member->row * stride(p);
  memcpy(row, x, p->problem->space.count * sizeof *x);
  memcpy(row + p->problem->space.count, objectives,
         p->problem->objectives * sizeof *x);
}

int bv_population_compare(const bv_population *p, size_t i,
                          const double *objectives, double violation) {
  const double *known = bv_population_objectives(p, i);
  if (p->members[i].violation != violation)
    return violation < p->members[i].violation ? 1 : -1;
  bool better = false, worse = false;
  for (size_t j = 0; j < p->problem->objectives; j++) {
    better = better || objectives[j] < known[j];
    worse = worse || objectives[j] > known[j];
  }
  return worse ? (better ? 0 : -1) : 1;
}

/* True where a dominates b: less violation, or nowhere worse and somewhere
 * better. */
static bool dominates(const bv_population *p, const bv_member *a,
                      const bv_member *b) {
  if (a->violation != b->violation)
    return a->violation < b->violation;
  const double *fa = objectives_of(p, a), *fb = objectives_of(p, b);
  bool better = false;
  for (size_t j = 0; j < p->problem->objectives; j++) {
    if (fa[j] > fb[j])
      return false;
    better = better || fa[j] < fb[j];
  }
  return better;
}

static void swap(bv_member *a, bv_member *b) {
  bv_member kept = *a;
  *a = *b;
  *b = kept;
}

/* Brings the members from `begin` on that none of these dominates to the front;
 * returns where the rest begins. */
static size_t part_front(bv_population *p, size_t begin, size_t rank) {
  size_t end = begin;
  for (size_t i = begin; i < p->count; i++) {
    bv_member *m = &p->members[i];
    m->rank = rank;
    for (size_t k = begin; k < p->count && m->rank == rank; k++)
      if (dominates(p, &p->members[k], m))
        m->rank = rank + 1;
  }
  for (size_t i = begin; i < p->count; i++)
    if (p->members[i].rank == rank)
      swap(&p->members[end++], &p->members[i]);
  return end;
}

typedef struct ordering {
  const bv_population *population;
  size_t objective;
} ordering;

static int by_objective(const void *a, const void *b, void *context) {
  const ordering *o = context;
  double fa = objectives_of(o->population, a)[o->objective];
  double fb = objectives_of(o->population, b)[o->objective];
  return (fa > fb) - (fa < fb);
}

static void add_crowding(bv_population *p, size_t begin, size_t end,
                         size_t objective) {
  ordering order = {p, objective};
  bv_member *m = p->members;
  qsort_r(m + begin, end - begin, sizeof *m, by_objective, &order);
  double span = objectives_of(p, &m[end - 1])[objective] -
                objectives_of(p, &m[begin])[objective];
  m[begin].crowding = m[end - 1].crowding = HUGE_VAL;
  for (size_t i = begin + 1; i + 1 < end && span > 0; i++)
    m[i].crowding += (objectives_of(p, &m[i + 1])[objective] -
                      objectives_of(p, &m[i - 1])[objective]) /
                     span;
}

static void crowd(bv_population *p, size_t begin, size_t end) {
  for (size_t i = begin; i < end; i++)
    p->members[i].crowding = 0;
  for (size_t j = 0; j < p->problem->objectives; j++)
    add_crowding(p, begin, end, j);
}

static int by_crowding(const void *a, const void *b) {
  double ca = ((const bv_member *) a)->crowding;
  double cb = ((const bv_member *) b)->crowding;
  return (ca < cb) - (ca > cb);
}

void bv_population_select(bv_population *p) {
  size_t begin = 0, rank = 0;
  while (begin < p->count && begin < p->size) {
    size_t end = part_front(p, begin, rank++);
    crowd(p, begin, end);
    if (end > p->size)
      qsort(p->members + begin, end - begin, sizeof *p->members, by_crowding);
    begin = end;
  }
  if (p->count > p->size)
    p->count = p->size;
}

void bv_population_trim(bv_population *p) {
  if (p->count > p->size)
    bv_population_select(p);
}

size_t bv_population_tournament(const bv_population *p, bv_random *random) {
  size_t a = bv_random_below(random, p->count);
  size_t b = bv_random_below(random, p->count);
  const bv_member *ma = &p->members[a], *mb = &p->members[b];
  if (ma->rank != mb->rank)
    return ma->rank < mb->rank ? a : b;
  return ma->crowding > mb->crowding ? a : b;
}
