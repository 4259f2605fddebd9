/* SPDX-License-Identifier: MIT */
/* Proposals: points between and beyond neighbours of the front, with what the
 * front itself foresees of them, so that the most promising are evaluated. */
#ifndef BV_SEARCH_PROPOSAL_H
#define BV_SEARCH_PROPOSAL_H

#include "search/near.h"

/* A weighed mean of points of the front (weights add up to 1). The same mean of
 * their objectives is what is foreseen. */
typedef struct bv_proposal {
  size_t slots[BV_OBJECTIVES_MOST], count;
  double weight[BV_OBJECTIVES_MOST];
  double foreseen[BV_OBJECTIVES_MOST];
  double lead; /* of what is foreseen over the front and over what was hoped for
                  lately (bv_tree_lead); 0 or less: no use */
} bv_proposal;

/* Makes a proposal around a random point; the front must hold two or more. */
void bv_propose(bv_search *search, bv_random *random, bv_proposal *proposal);

/* The x of a proposal; a choice is that of one of its points. */
void bv_proposal_x(const bv_search *search, const bv_proposal *proposal,
                   bv_random *random, double *x);

/* Takes note that a proposal is evaluated: what lies near it promises less, for
 * BV_HOPES such points. */
void bv_proposal_hope(bv_search *search, const bv_proposal *proposal);

/* Lowers the leads of those left to what they were if another's hope came true,
 * keeps those that are of some use still, in their order, and returns how many
 * these are. */
size_t bv_proposals_after(const bv_search *search, bv_proposal **left,
                          size_t count, const bv_proposal *other);

#endif
