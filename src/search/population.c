/* SPDX-License-Identifier: MIT */
#include "search/population.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "search/memory.h"

static size_t stride(const bv_population *p) {
  return 2 * p->problem->space.count + p->problem->objectives;
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

const double *bv_population_units(const bv_population *p, size_t i) {
  const bv_space *space = &p->problem->space;
  bv_member *member = &p->members[i];
  double *x = p->rows + member->row * stride(p);
  double *units = x + space->count + p->problem->objectives;
  for (size_t k = 0; !member->has_units && k < space->count; k++)
    units[k] = bv_variable_encode(&space->variables[k], x[k]);
  member->has_units = true;
  return units;
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
  member->has_units = false;
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

/* A member's place in an order. */
typedef struct keyed {
  double key;
  size_t member;
} keyed;

/* A member on its way to a rank. */
typedef struct candidate {
  double violation;
  const double *objectives;
  bv_member *member;
  size_t before; /* the candidate before it in its front, or NONE */
} candidate;

enum { NONE = UINT32_MAX };

/* What a selection needs beside the members, a place for each. */
typedef struct scratch {
  keyed *order;
  candidate *candidates;
  size_t *last; /* candidate of each front */
  bv_member *kept;
} scratch;

static scratch make_scratch(size_t count) {
  scratch s;
  s.candidates = bv_allocate(count, sizeof *s.candidates + sizeof *s.kept +
                                        sizeof *s.order + sizeof *s.last);
  s.kept = (bv_member *) (s.candidates + count);
  s.order = (keyed *) (s.kept + count);
  s.last = (size_t *) (s.order + count);
  return s;
}

/* Equal keys keep their order. */
static void sort_by_key(keyed *k, size_t count) {
  for (size_t i = 1; i < count; i++) {
    keyed moving = k[i];
    size_t to = 0;
    /* No branch depends on a key, for none could be foretold. */
    for (size_t left = i, half; left > 0; left = half) {
      half = left / 2;
      to += (size_t) (k[to + half].key <= moving.key) * (left - half);
    }
    memmove(k + to + 1, k + to, (i - to) * sizeof *k);
    k[to] = moving;
  }
}

/* By violation, then by objectives: whoever comes later dominates none before.
 */
static bool comes_later(const candidate *a, const candidate *b, size_t m) {
  if (a->violation != b->violation)
    return a->violation > b->violation;
  size_t j = 0;
  while (j + 1 < m && a->objectives[j] == b->objectives[j])
    j++;
  return a->objectives[j] > b->objectives[j];
}

/* Sorted by the first objective, then by violation where there is any. */
static void sort_roughly(const bv_population *p, keyed *order) {
  bool violated = false;
  for (size_t i = 0; i < p->count; i++) {
    order[i] = (keyed){*bv_population_objectives(p, i), i};
    violated = violated || p->members[i].violation > 0;
  }
  sort_by_key(order, p->count);
  if (!violated)
    return;
  for (size_t i = 0; i < p->count; i++)
    order[i].key = p->members[order[i].member].violation;
  sort_by_key(order, p->count);
}

/* Only equal ones are left to be put right. */
static void sort_candidates(const bv_population *p, scratch *s) {
  sort_roughly(p, s->order);
  for (size_t i = 0; i < p->count; i++) {
    size_t member = s->order[i].member, k = i;
    candidate next = {.violation = p->members[member].violation,
                      .objectives = bv_population_objectives(p, member),
                      .member = &p->members[member]};
    for (; k > 0 &&
           comes_later(&s->candidates[k - 1], &next, p->problem->objectives);
         k--)
      s->candidates[k] = s->candidates[k - 1];
    s->candidates[k] = next;
  }
}

/* True where a, which comes earlier, dominates b: less violation, or nowhere
 * worse and somewhere better. */
static bool dominates(const candidate *a, const candidate *b, size_t m) {
  if (a->violation < b->violation)
    return true;
  bool better = false;
  for (size_t j = 0; j < m; j++) {
    if (a->objectives[j] > b->objectives[j])
      return false;
    better = better || a->objectives[j] < b->objectives[j];
  }
  return better;
}

/* True where one of a front, which ends with the candidate `last`, dominates
 * b. Of two objectives the last one has the least second. */
static bool is_dominated(const candidate *all, size_t last, const candidate *b,
                         size_t m) {
  if (m <= 2)
    return dominates(&all[last], b, m);
  while (last != NONE && !dominates(&all[last], b, m))
    last = all[last].before;
  return last != NONE;
}

/* Ranks every member: each joins the first front none of which dominates it (X.
 * Zhang, Y. Tian, R. Cheng, Y. Jin, "An efficient approach to nondominated
 * sorting for evolutionary multiobjective optimization", IEEE Trans. Evol.
 * Comput. 19(2), 2015). */
static void rank_members(bv_population *p, scratch *s) {
  size_t m = p->problem->objectives, fronts = 0;
  candidate *all = s->candidates;
  sort_candidates(p, s);
  for (size_t i = 0; i < p->count; i++) {
    size_t rank = 0;
    while (rank < fronts && is_dominated(all, s->last[rank], &all[i], m))
      rank++;
    all[i].before = rank < fronts ? s->last[rank] : NONE;
    fronts += rank == fronts;
    s->last[rank] = i;
    all[i].member->rank = rank;
  }
}

static void swap(bv_member *a, bv_member *b) {
  bv_member kept = *a;
  *a = *b;
  *b = kept;
}

/* Brings the members of a rank to the front of those from `begin` on; returns
 * where the rest begins. */
static size_t part_front(bv_population *p, size_t begin, size_t rank) {
  size_t end = begin;
  for (size_t i = begin; i < p->count; i++)
    if (p->members[i].rank == rank)
      swap(&p->members[end++], &p->members[i]);
  return end;
}

/* Sorts by an objective and adds the distances along it. */
static void add_crowding(bv_population *p, keyed *order, size_t count,
                         size_t objective) {
  bv_member *m = p->members;
  for (size_t i = 0; i < count; i++)
    order[i].key = objectives_of(p, &m[order[i].member])[objective];
  sort_by_key(order, count);
  double span = order[count - 1].key - order[0].key;
  m[order[0].member].crowding = m[order[count - 1].member].crowding = HUGE_VAL;
  for (size_t i = 1; i + 1 < count && span > 0; i++)
    m[order[i].member].crowding += (order[i + 1].key - order[i - 1].key) / span;
}

/* The least crowded first. */
static void sort_by_crowding(const bv_population *p, keyed *order,
                             size_t count) {
  for (size_t i = 0; i < count; i++)
    order[i].key = -p->members[order[i].member].crowding;
  sort_by_key(order, count);
}

/* Tells how crowded each of a front is and brings it into order: by the last
 * objective, or by crowding where it is to be cut. */
static void arrange(bv_population *p, scratch *s, size_t begin, size_t end) {
  size_t count = end - begin;
  bv_member *members = p->members + begin;
  for (size_t i = 0; i < count; i++) {
    s->order[i].member = begin + i;
    members[i].crowding = 0;
  }
  for (size_t j = 0; j < p->problem->objectives; j++)
    add_crowding(p, s->order, count, j);
  if (end > p->size)
    sort_by_crowding(p, s->order, count);
  memcpy(s->kept, members, count * sizeof *members);
  for (size_t i = 0; i < count; i++)
    members[i] = s->kept[s->order[i].member - begin];
}

void bv_population_select(bv_population *p) {
  scratch s = make_scratch(p->count);
  size_t begin = 0, rank = 0;
  rank_members(p, &s);
  while (begin < p->count && begin < p->size) {
    size_t end = part_front(p, begin, rank++);
    arrange(p, &s, begin, end);
    begin = end;
  }
  if (p->count > p->size)
    p->count = p->size;
  free(s.candidates);
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
