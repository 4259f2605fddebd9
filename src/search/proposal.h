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
  double most; /* what is foreseen is no further ahead of the front: its lead
                  over those points */
} bv_proposal;

/* Makes proposals around a random point; the front must hold two or more. */
void bv_propose(const bv_search *search, bv_random *random,
                bv_proposal *proposals, size_t count);

/* The x of a proposal; a choice is that of one of its points. */
void bv_proposal_x(const bv_search *search, const bv_proposal *proposal,
                   bv_random *random, double *x);

#endif
