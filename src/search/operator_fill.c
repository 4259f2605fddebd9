/* SPDX-License-Identifier: MIT */
/* fill: of many points between and beyond neighbours of the front, those that
 * promise to lead most, one after another. Where the front is a smooth sheet
 * every evaluation lands on it, evenly. */
#include <string.h>

#include "search/proposal.h"

/* Proposals made for each point evaluated. */
enum { PROPOSALS = 6 * BV_LIST_SIZE };

static bv_turn fill_turn(const bv_search *s) {
  return bv_plan_started(s) && s->front.count > 1 ? BV_TURN_SHARE
                                                  : BV_TURN_NONE;
}

/* Proposals that are of some use, in the order of making. */
typedef struct choice {
  bv_proposal made[PROPOSALS], *left[PROPOSALS];
  size_t count;
} choice;

static void propose(bv_search *s, bv_random *random, choice *c) {
  c->count = 0;
  for (size_t i = 0; i < PROPOSALS; i++) {
    bv_propose(s, random, &c->made[i]);
    if (c->made[i].lead > 0)
      c->left[c->count++] = &c->made[i];
  }
}

/* The first of the most promising, no longer among the others. */
static bv_proposal *take_most_promising(choice *c) {
  size_t best = 0;
  for (size_t i = 1; i < c->count; i++)
    if (c->left[i]->lead > c->left[best]->lead)
      best = i;
  bv_proposal *taken = c->left[best];
  memmove(c->left + best, c->left + best + 1,
          (--c->count - best) * sizeof *c->left);
  return taken;
}

static bool fill_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  choice c;
  double x[BV_SPACE_MOST];
  size_t room = cell->most * s->problem->space.count;
  propose(s, random, &c);
  while (cell->length < room && c.count > 0) {
    const bv_proposal *best = take_most_promising(&c);
    bv_proposal_x(s, best, random, x);
    if (bv_plan_point(s, cell, x)) {
      bv_proposal_hope(s, best);
      c.count = bv_proposals_after(s, c.left, c.count, best);
    }
  }
  return cell->length > 0;
}

const bv_operator bv_operator_fill = {
    .name = "fill", .turn = fill_turn, .plan = fill_plan, .run = bv_run_list};
