/* SPDX-License-Identifier: MIT */
#include "search/proposal.h"

#include <math.h>

/* Neighbours a proposal may draw on, and the share that lies beyond the front's
 * known part: with three and more objectives few, for a sheet has room within
 * and, where it is bent, stays behind what is foreseen beyond. */
enum { NEIGHBOURS = 6 };
#define OUTWARDS 0.3
#define OUTWARDS_OF_SHEET 0.15

/* A point, and its kin. */
typedef struct neighbourhood {
  size_t slot, kin[NEIGHBOURS], count;
} neighbourhood;

static neighbourhood anywhere(const bv_search *s, bv_random *random) {
  neighbourhood n = {.slot = bv_near_any(s, random)};
  n.count = bv_near_kin(s, n.slot, random, n.kin,
                        s->problem->objectives <= 2 ? 2 : NEIGHBOURS);
  return n;
}

/* The point and as many of its kin as span the front there. */
static void choose_slots(const bv_search *s, bv_random *random, neighbourhood n,
                         bv_proposal *p) {
  p->slots[0] = n.slot;
  for (p->count = 1; p->count < s->problem->objectives && n.count > 0;
       p->count++) {
    size_t k = bv_random_below(random, n.count);
    p->slots[p->count] = n.kin[k];
    n.kin[k] = n.kin[--n.count];
  }
}

static void choose_weights(bool sheet, bv_random *random, bv_proposal *p) {
  double sum = 0, beyond = sheet ? OUTWARDS_OF_SHEET : OUTWARDS;
  for (size_t k = 0; k < p->count; k++)
    sum += p->weight[k] = 0.5 + bv_random_unit(random);
  bool outwards = bv_random_unit(random) < beyond;
  for (size_t k = 0; k < p->count; k++)
    p->weight[k] /= outwards ? -sum : sum;
  if (outwards) /* from the mean of the others through the first */
    p->weight[0] += 2;
}

static void foresee(const bv_search *s, bv_proposal *p) {
  size_t m = s->problem->objectives;
  for (size_t j = 0; j < m; j++) {
    p->foreseen[j] = 0;
    for (size_t k = 0; k < p->count; k++)
      p->foreseen[j] +=
          p->weight[k] * bv_archive_objectives(&s->front, p->slots[k])[j];
  }
}

/* Its lead over the points it is made of. */
static double own_lead(const bv_search *s, const bv_proposal *p) {
  bv_ahead ahead = bv_ahead_begin(p->foreseen, s->yardstick.range,
                                  s->problem->objectives, HUGE_VAL);
  for (size_t k = 0; k < p->count; k++)
    bv_ahead_meet(&ahead, bv_archive_objectives(&s->front, p->slots[k]));
  return ahead.lead;
}

void bv_propose(const bv_search *s, bv_random *random, bv_proposal *proposals,
                size_t count) {
  neighbourhood n = anywhere(s, random);
  for (size_t i = 0; i < count; i++) {
    bv_proposal *p = &proposals[i];
    choose_slots(s, random, n, p);
    choose_weights(s->problem->objectives > 2, random, p);
    foresee(s, p);
    p->most = own_lead(s, p);
  }
}

void bv_proposal_x(const bv_search *s, const bv_proposal *p, bv_random *random,
                   double *x) {
  const bv_space *space = &s->problem->space;
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    double unit = 0;
    for (size_t k = 0; k < p->count; k++)
      unit += p->weight[k] * bv_archive_units(&s->front, p->slots[k])[i];
    size_t one = p->slots[bv_random_below(random, p->count)];
    x[i] = v->scale == BV_SCALE_CHOICE ? bv_archive_x(&s->front, one)[i]
                                       : bv_variable_decode(v, unit);
  }
}
