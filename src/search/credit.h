/* SPDX-License-Identifier: MIT */
/* Shares of the budget: operators that lately gained more an evaluation get
 * more evaluations; none falls below its least share. */
#ifndef BV_SEARCH_CREDIT_H
#define BV_SEARCH_CREDIT_H

#include <stdbool.h>
#include <stddef.h>

enum { BV_OPERATORS_MOST = 16 };

/* Start from {0}. */
typedef struct bv_credit {
  double gain[BV_OPERATORS_MOST];  /* fading sums of relative gains */
  double spent[BV_OPERATORS_MOST]; /* evaluations */
  double due[BV_OPERATORS_MOST];   /* evaluations granted and not yet planned */
  double lately;                   /* fading sum of what all gained */
  bool squared; /* shares follow the rates' squares, not the rates */
} bv_credit;

/* Takes in what an operator's cell gained with its evaluations. Gains shrink by
 * orders of magnitude as a front is completed, so each counts by its share of
 * what was gained lately. */
void bv_credit_learn(bv_credit *credit, size_t operator, double gain,
                     size_t evaluations);

/* The operator most in arrears; `count` if none can work. `least` tells the
 * least share of each, at most 1 in all, and below 0 that it can't work now. */
size_t bv_credit_choose(const bv_credit *credit, const double *least,
                        size_t count);

/* Grants a cell's evaluations to the operators that can work by their shares,
 * and charges them to the one that makes the cell. */
void bv_credit_charge(bv_credit *credit, const double *least, size_t count,
                      size_t operator, size_t evaluations);

#endif
