/* SPDX-License-Identifier: MIT */
/* fill: of many points between and beyond neighbours of the front, those that
 * promise to lead most, one after another. Where the front is a smooth sheet
 * every evaluation lands on it, evenly. Leads only fall as others are taken, so
 * each is worked out not before it could be the largest (M. Minoux,
 * "Accelerated greedy algorithms for maximizing submodular set functions",
 * Optimization Techniques, 1978). */
#include "search/proposal.h"

/* Proposals for a cell's points, and how many of them are made around one point
 * where to find who is near takes longest. */
enum { PROPOSALS = 8 * BV_LIST_SIZE, AROUND = 8 };

static bv_turn fill_turn(const bv_search *s) {
  return bv_plan_started(s) && s->front.count > 1 ? BV_TURN_SHARE
                                                  : BV_TURN_NONE;
}

typedef struct candidate {
  bv_proposal proposal;
  double lead;  /* it is no more; over the front it is this … */
  bool known;   /* … where it is known, … */
  size_t hopes; /* … and over the hopes before this one */
} candidate;

typedef struct choice {
  candidate made[PROPOSALS], *heap[PROPOSALS]; /* the most promising first */
  size_t count;                                /* in the heap */
} choice;

/* Of equal ones the first that was made. */
static bool goes_before(const candidate *a, const candidate *b) {
  return a->lead > b->lead || (a->lead == b->lead && a < b);
}

/* Moves a candidate down to its place, all below which are in theirs. */
static void sink(choice *c, size_t at) {
  candidate *moving = c->heap[at];
  for (size_t next; (next = 2 * at + 1) < c->count; at = next) {
    next +=
        next + 1 < c->count && goes_before(c->heap[next + 1], c->heap[next]);
    if (goes_before(moving, c->heap[next]))
      break;
    c->heap[at] = c->heap[next];
  }
  c->heap[at] = moving;
}

static void take_first_out(choice *c) {
  c->heap[0] = c->heap[--c->count];
  sink(c, 0);
}

static void take_in(const bv_search *s, const bv_proposal *proposal,
                    candidate *made, choice *c) {
  *made = (candidate){.proposal = *proposal,
                      .lead = proposal->most,
                      .hopes = bv_hopes_first(&s->hopes)};
  if (made->lead > 0)
    c->heap[c->count++] = made;
}

static void propose(const bv_search *s, bv_random *random, choice *c) {
  size_t around = s->problem->objectives <= 2 ? 1 : AROUND;
  bv_proposal proposals[AROUND];
  c->count = 0;
  for (size_t i = 0; i < PROPOSALS; i += around) {
    bv_propose(s, random, proposals, around);
    for (size_t k = 0; k < around; k++)
      take_in(s, &proposals[k], &c->made[i + k], c);
  }
  for (size_t at = c->count / 2; at-- > 0;)
    sink(c, at);
}

_Static_assert(PROPOSALS % AROUND == 0, "as many as there is room for");

/* Works out the lead of a candidate as it is now, or until it has fallen: then
 * false. */
static bool keeps_its_lead(const bv_search *s, candidate *of) {
  double before = of->lead;
  bv_ahead ahead = bv_ahead_begin(of->proposal.foreseen, s->yardstick.range,
                                  s->problem->objectives, before);
  if (!of->known)
    bv_archive_lower(&s->front, &ahead);
  of->known = true;
  if (ahead.lead == before) {
    bv_hopes_lower(&s->hopes, of->hopes, &ahead);
    of->hopes = s->hopes.count;
  }
  of->lead = ahead.lead;
  return of->lead == before;
}

/* The first of the most promising, out of the heap; NULL: none is of use. */
static const bv_proposal *take_most_promising(const bv_search *s, choice *c) {
  while (c->count > 0) {
    candidate *first = c->heap[0];
    bool taken = keeps_its_lead(s, first);
    if (taken || first->lead <= 0)
      take_first_out(c);
    else
      sink(c, 0);
    if (taken)
      return &first->proposal;
  }
  return NULL;
}

static bool fill_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  choice c;
  double x[BV_SPACE_MOST];
  size_t room = cell->most * s->problem->space.count;
  const bv_proposal *best;
  propose(s, random, &c);
  while (cell->length < room && (best = take_most_promising(s, &c))) {
    bv_proposal_x(s, best, random, x);
    if (bv_plan_point(s, cell, x))
      bv_hopes_add(&s->hopes, best->foreseen);
  }
  return cell->length > 0;
}

_Static_assert(BV_HOPES_KEPT >= BV_HOPES + BV_LIST_SIZE,
               "a cell pushes none out that it began with");

const bv_operator bv_operator_fill = {
    .name = "fill", .turn = fill_turn, .plan = fill_plan, .run = bv_run_list};
