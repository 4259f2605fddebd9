/* SPDX-License-Identifier: MIT */
#include "search/operator.h"

#include "search/credit.h"

/* Cells carry an operator's place in this table across the pipe. */
const bv_operator *const bv_operators[] = {
    &bv_operator_sample, &bv_operator_cross,  &bv_operator_step,
    &bv_operator_nudge,  &bv_operator_polish, &bv_operator_anchor,
    &bv_operator_fill,   &bv_operator_branch, &bv_operator_onward,
    &bv_operator_ends,   &bv_operator_carry,
};

const size_t bv_operator_count = sizeof bv_operators / sizeof *bv_operators;

_Static_assert(sizeof bv_operators / sizeof *bv_operators <= BV_OPERATORS_MOST,
               "credit has room for every operator");
