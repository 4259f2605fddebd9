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
  p->count = p->selected = 0;
}

static void fill(bv_population *p, size_t i, const double *x,
                 const double *objectives, double violation) {
  bv_member *member = &p->members[i];
  member->violation = violation;
  member->has_units = false;
  double *row = p->rows + member->row * stride(p);
  memcpy(row, x, p->problem->space.count * sizeof *x);
  memcpy(row + p->problem->space.count, objectives,
         p->problem->objectives * sizeof *x);
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
  fill(p, p->count++, x, objectives, violation);
}

void bv_population_replace(bv_population *p, size_t i, const double *x,
                           const double *objectives, double violation) {
  fill(p, i, x, objectives, violation);
  p->selected = 0;
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

/* A member, by its index, and what it is sorted by. */
typedef struct keyed {
  double key;
  size_t member;
} keyed;

/* A member on its way to a rank. */
typedef struct candidate {
  double violation;
  const double *objectives;
  size_t member;
  size_t before; /* the candidate before it in its front, or NONE */
} candidate;

enum { NONE = UINT32_MAX };

/* The members of a rank: its last candidate leads to the others. */
typedef struct front {
  size_t last, count;
} front;

/* What a selection needs beside the members, a place for each. */
typedef struct scratch {
  keyed *order;
  candidate *candidates;
  front *fronts;
  bv_member *kept;
  size_t *at, *place; /* the member at a place, the place of a member */
  size_t *by_first;   /* members by the first objective */
} scratch;

static scratch make_scratch(size_t count) {
  scratch s;
  s.candidates =
      bv_reserve(count, sizeof *s.candidates + sizeof *s.kept +
                            sizeof *s.order + sizeof *s.fronts + sizeof *s.at +
                            sizeof *s.place + sizeof *s.by_first);
  s.kept = (bv_member *) (s.candidates + count);
  s.order = (keyed *) (s.kept + count);
  s.fronts = (front *) (s.order + count);
  s.at = (size_t *) (s.fronts + count);
  s.place = s.at + count;
  s.by_first = s.place + count;
  return s;
}

/* The first so many are in order. Equal keys keep theirs. */
static void sort_by_key(keyed *k, size_t sorted, size_t count) {
  for (size_t i = sorted; i < count; i++) {
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

/* Brings those of equal keys into the order of their places. */
static void settle_ties(const scratch *s, keyed *k, size_t count) {
  for (size_t i = 1; i < count; i++) {
    keyed moving = k[i];
    size_t to = i;
    for (; to > 0 && k[to - 1].key == moving.key &&
           s->place[k[to - 1].member] > s->place[moving.member];
         to--)
      k[to] = k[to - 1];
    k[to] = moving;
  }
}

/* Those of the last selection are in order already. */
static void sort_by_first(const bv_population *p, scratch *s) {
  for (size_t i = 0; i < p->count; i++) {
    size_t at = i < p->selected ? p->members[i].by_first : i;
    s->order[at].key = *bv_population_objectives(p, i);
    s->order[at].member = i;
  }
  settle_ties(s, s->order, p->selected);
  sort_by_key(s->order, p->selected, p->count);
}

/* Sorted by the first objective; then those that break limits come behind the
 * others, by violation. */
static void sort_roughly(const bv_population *p, scratch *s) {
  keyed *violated = (keyed *) s->kept;
  size_t feasible = 0, others = 0;
  sort_by_first(p, s);
  for (size_t i = 0; i < p->count; i++) {
    size_t member = s->by_first[i] = s->order[i].member;
    double violation = p->members[member].violation;
    if (violation > 0)
      violated[others++] = (keyed){violation, member};
    else
      s->order[feasible++] = s->order[i];
  }
  sort_by_key(violated, 0, others);
  memcpy(s->order + feasible, violated, others * sizeof *violated);
}

static void swap(candidate *a, candidate *b) {
  candidate kept = *a;
  *a = *b;
  *b = kept;
}

/* Only equal ones are left to be put right. */
static void sort_candidates(const bv_population *p, scratch *s) {
  candidate *all = s->candidates;
  sort_roughly(p, s);
  for (size_t i = 0; i < p->count; i++) {
    size_t member = s->order[i].member;
    all[i].violation = p->members[member].violation;
    all[i].objectives = bv_population_objectives(p, member);
    all[i].member = member;
    for (size_t k = i;
         k > 0 && comes_later(&all[k - 1], &all[k], p->problem->objectives);
         k--)
      swap(&all[k - 1], &all[k]);
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
    while (rank < fronts && is_dominated(all, s->fronts[rank].last, &all[i], m))
      rank++;
    if (rank == fronts)
      s->fronts[fronts++] = (front){NONE, 0};
    all[i].before = s->fronts[rank].last;
    s->fronts[rank].last = i;
    s->fronts[rank].count++;
    p->members[all[i].member].rank = rank;
  }
}

/* Swaps the members of a rank to the places from `begin` on. */
static void part_front(const bv_population *p, scratch *s, size_t begin,
                       size_t rank) {
  size_t end = begin + s->fronts[rank].count;
  for (size_t to = begin, i = begin; to < end; i++) {
    size_t member = s->at[i];
    if (p->members[member].rank != rank)
      continue;
    s->at[i] = s->at[to];
    s->at[to] = member;
    s->place[member] = to++;
  }
}

static void set_keys(const bv_population *p, keyed *order, size_t count,
                     size_t objective) {
  for (size_t i = 0; i < count; i++)
    order[i].key = bv_population_objectives(p, order[i].member)[objective];
}

/* The members of a front by the first objective, as they were ranked. */
static void order_as_ranked(const bv_population *p, const scratch *s,
                            const front *f) {
  size_t i = f->count;
  for (size_t last = f->last; last != NONE; last = s->candidates[last].before)
    s->order[--i].member = s->candidates[last].member;
  set_keys(p, s->order, f->count, 0);
  settle_ties(s, s->order, f->count);
}

/* From the order by one objective to that by the next. Of two, the second falls
 * along a front as the first rises. */
static void order_by_next(const bv_population *p, const scratch *s,
                          size_t count, size_t objective) {
  bool falls = p->problem->objectives == 2;
  for (size_t i = 0, k = count; falls && i + 1 < k; i++) {
    keyed moved = s->order[i];
    s->order[i] = s->order[--k];
    s->order[k] = moved;
  }
  set_keys(p, s->order, count, objective);
  if (falls)
    settle_ties(s, s->order, count);
  else
    sort_by_key(s->order, 0, count);
}

/* Adds the distances along the objective they are sorted by. */
static void add_crowding(bv_population *p, const keyed *order, size_t count) {
  bv_member *m = p->members;
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
  sort_by_key(order, 0, count);
}

/* Tells how crowded each of a front is and brings it into order, from `begin`
 * on: by the last objective, or by crowding where it is to be cut. */
static void arrange(bv_population *p, scratch *s, size_t begin,
                    const front *f) {
  order_as_ranked(p, s, f);
  for (size_t i = 0; i < f->count; i++)
    p->members[s->order[i].member].crowding = 0;
  add_crowding(p, s->order, f->count);
  for (size_t j = 1; j < p->problem->objectives; j++) {
    order_by_next(p, s, f->count, j);
    add_crowding(p, s->order, f->count);
  }
  if (begin + f->count > p->size)
    sort_by_crowding(p, s->order, f->count);
  for (size_t i = 0; i < f->count; i++)
    s->at[begin + i] = s->order[i].member;
}

/* Puts every member in its place, and cuts the population. */
static void settle(bv_population *p, const scratch *s) {
  memcpy(s->kept, p->members, p->count * sizeof *s->kept);
  for (size_t i = 0; i < p->count; i++) {
    p->members[i] = s->kept[s->at[i]];
    s->place[s->at[i]] = i;
  }
  p->selected = 0;
  for (size_t i = 0; i < p->count; i++)
    if (s->place[s->by_first[i]] < p->size)
      p->members[s->place[s->by_first[i]]].by_first = (uint32_t) p->selected++;
  p->count = p->selected;
}

void bv_population_select(bv_population *p) {
  if (p->count == 0)
    return;
  scratch s = make_scratch(p->count);
  for (size_t i = 0; i < p->count; i++)
    s.at[i] = s.place[i] = i;
  rank_members(p, &s);
  for (size_t begin = 0, rank = 0; begin < p->count && begin < p->size;
       begin += s.fronts[rank++].count) {
    part_front(p, &s, begin, rank);
    arrange(p, &s, begin, &s.fronts[rank]);
  }
  settle(p, &s);
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
