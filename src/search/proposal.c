/* SPDX-License-Identifier: MIT */
#include "search/proposal.h"

#include <math.h>

#include "base/number.h"

/* Neighbours a proposal may draw on, and the share that lies beyond the front's
 * known part. */
enum { NEIGHBOURS = 6 };
#define OUTWARDS 0.3

/* Of what is worked out roughly. */
#define SLACK (1 - 1e-12)

/* A random point and as many of its kin as span the front there. */
static void choose_slots(const bv_search *s, bv_random *random,
                         bv_proposal *p) {
  size_t m = s->problem->objectives, near[NEIGHBOURS];
  p->slots[0] = s->front.live[bv_random_below(random, s->front.count)];
  size_t found =
      bv_near_kin(s, p->slots[0], random, near, m <= 2 ? 2 : NEIGHBOURS);
  for (p->count = 1; p->count < m && found > 0; p->count++) {
    size_t k = bv_random_below(random, found);
    p->slots[p->count] = near[k];
    near[k] = near[--found];
  }
}

static void choose_weights(bv_random *random, bv_proposal *p) {
  double sum = 0;
  for (size_t k = 0; k < p->count; k++)
    sum += p->weight[k] = 0.5 + bv_random_unit(random);
  bool outwards = bv_random_unit(random) < OUTWARDS;
  for (size_t k = 0; k < p->count; k++)
    p->weight[k] /= outwards ? -sum : sum;
  if (outwards) /* from the mean of the others through the first */
    p->weight[0] += 2;
}

static void foresee(bv_search *s, bv_proposal *p) {
  size_t m = s->problem->objectives;
  for (size_t j = 0; j < m; j++) {
    p->foreseen[j] = 0;
    for (size_t k = 0; k < p->count; k++)
      p->foreseen[j] +=
          p->weight[k] * bv_archive_objectives(&s->front, p->slots[k])[j];
  }
  p->lead = bv_archive_lead(&s->front, p->foreseen, s->yardstick.range);
  if (p->lead > 0)
    p->lead = bv_smaller(
        p->lead, bv_hopes_lead(&s->hopes, p->foreseen, s->yardstick.range));
}

void bv_propose(bv_search *s, bv_random *random, bv_proposal *p) {
  choose_slots(s, random, p);
  choose_weights(random, p);
  foresee(s, p);
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

void bv_proposal_hope(bv_search *s, const bv_proposal *p) {
  bv_hopes_add(&s->hopes, p->foreseen);
}

/* True where one proposal surely leaves another its lead: most lie far apart,
 * which a product tells as well as a quotient. */
static bool is_apart(const bv_search *s, const bv_proposal *p,
                     const bv_proposal *other) {
  bool is = false;
  for (size_t j = 0; j < s->problem->objectives; j++)
    is |= (other->foreseen[j] - p->foreseen[j]) * SLACK >
          p->lead * s->yardstick.range[j];
  return is;
}

size_t bv_proposals_after(const bv_search *s, bv_proposal **left, size_t count,
                          const bv_proposal *other) {
  size_t kept = 0;
  for (size_t i = 0; i < count; i++) {
    bv_proposal *p = left[i];
    if (!is_apart(s, p, other))
      p->lead = bv_smaller(p->lead, bv_lead_over(other->foreseen, p->foreseen,
                                                 s->yardstick.range,
                                                 s->problem->objectives));
    left[kept] = p;
    kept += p->lead > 0;
  }
  return kept;
}
