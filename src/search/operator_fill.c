/* SPDX-License-Identifier: MIT */
/* fill: of many points between and beyond neighbours of the front, those that
 * promise to lead most, one after another. Where the front is a smooth sheet
 * every evaluation lands on it, evenly. */
#include "search/proposal.h"

/* Proposals made for each point evaluated. */
enum { PROPOSALS = 6 * BV_LIST_SIZE };

static bv_turn fill_turn(const bv_search *s) {
  return bv_plan_started(s) && s->front.count > 1 ? BV_TURN_SHARE
                                                  : BV_TURN_NONE;
}

static bv_proposal *most_promising(bv_proposal *proposals) {
  bv_proposal *best = proposals;
  for (size_t i = 1; i < PROPOSALS; i++)
    if (proposals[i].lead > best->lead)
      best = &proposals[i];
  return best->lead > 0 ? best : NULL;
}

static void lower_leads(const bv_search *s, bv_proposal *proposals,
                        const bv_proposal *taken) {
  for (size_t i = 0; i < PROPOSALS; i++)
    proposals[i].lead = bv_proposal_lead_after(s, &proposals[i], taken);
}

static bool fill_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  bv_proposal proposals[PROPOSALS], *best;
  double x[BV_SPACE_MOST];
  size_t room = cell->most * s->problem->space.count;
  for (size_t i = 0; i < PROPOSALS; i++)
    bv_propose(s, random, &proposals[i]);
  while (cell->length < room && (best = most_promising(proposals)) != NULL) {
    bv_proposal_x(s, best, random, x);
    if (bv_plan_point(s, cell, x)) {
      bv_proposal_hope(s, best);
      lower_leads(s, proposals, best);
    }
    best->lead = -1;
  }
  return cell->length > 0;
}

const bv_operator bv_operator_fill = {
    .name = "fill", .turn = fill_turn, .plan = fill_plan, .run = bv_run_list};
