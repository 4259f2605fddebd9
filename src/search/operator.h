/* SPDX-License-Identifier: MIT */
/* Operators: the ways of choosing points to evaluate. One is a row in the table
 * of operator.c; nothing else knows how many there are. */
#ifndef BV_SEARCH_OPERATOR_H
#define BV_SEARCH_OPERATOR_H

#include "base/random.h"
#include "search/cell.h"
#include "search/log.h"
#include "search/search.h"

/* Whether an operator can work now. */
typedef enum bv_turn {
  BV_TURN_NONE,  /* it can't, or has nothing to do */
  BV_TURN_SHARE, /* it takes part in the sharing of the budget */
  BV_TURN_FIRST  /* it goes before all others */
} bv_turn;

typedef struct bv_operator {
  const char *name;
  bool seeks; /* it finds better basins: more of it while the front moves */
  /* Of the budget, its own wherever it can work; NULL: none. */
  double (*share)(const bv_search *search);
  bv_turn (*turn)(const bv_search *search);
  /* Fills the cell's data and most (at most what it is at the call); false
   * where it found no new point to evaluate. */
  bool (*plan)(bv_search *search, bv_random *random, bv_cell *cell);
  /* Runs the cell in a worker, which knows the problem alone. */
  void (*run)(bv_log *log, const bv_cell *cell);
  /* Takes in what the run noted; may be NULL. */
  void (*learn)(bv_search *search, const bv_cell *cell,
                const bv_cell_result *result, double gain);
} bv_operator;

/* The table of operators, and each by its name. */
extern const bv_operator *const bv_operators[];
extern const size_t bv_operator_count;

extern const bv_operator bv_operator_sample, bv_operator_cross,
    bv_operator_step, bv_operator_nudge, bv_operator_polish, bv_operator_anchor,
    bv_operator_fill, bv_operator_branch, bv_operator_onward, bv_operator_ends,
    bv_operator_carry;

#endif
