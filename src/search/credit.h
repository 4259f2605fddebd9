/* SPDX-License-Identifier: MIT */
/* Shares of the budget: operators that lately gained more an evaluation get
 * more evaluations; none falls below a floor. */
#ifndef BV_SEARCH_CREDIT_H
#define BV_SEARCH_CREDIT_H

#include <stdbool.h>
#include <stddef.h>

enum { BV_OPERATORS_MOST = 16 };

/* Start from {0}. */
typedef struct bv_credit {
  double gain[BV_OPERATORS_MOST];  /* fading sums */
  double spent[BV_OPERATORS_MOST]; /* evaluations */
  double due[BV_OPERATORS_MOST];   /* evaluations granted and not yet planned */
} bv_credit;

/* Takes in what an operator's cell gained with its evaluations. */
void bv_credit_learn(bv_credit *credit, size_t operator, double gain,
                     size_t evaluations);

/* The operator most in arrears among those that suit now; `count` if none. */
size_t bv_credit_choose(const bv_credit *credit, const bool *suits,
                        size_t count);

/* Grants a cell's evaluations to the operators that suit by their shares, and
 * charges them to the one that makes the cell. */
void bv_credit_charge(bv_credit *credit, const bool *suits, size_t count,
                      size_t operator, size_t evaluations);

#endif
