/* SPDX-License-Identifier: MIT */
/* What a search sees: a vector in, a vector of results out. */
#ifndef BV_SEARCH_PROBLEM_H
#define BV_SEARCH_PROBLEM_H

#include <stdbool.h>
#include <stddef.h>

#include "search/space.h"

enum { BV_OBJECTIVES_MOST = 6, BV_LIMITS_MOST = 64 };

/* How an evaluation ended: X(code, word, meaning). */
#define BV_OUTCOME_MAP(X)                                                      \
  X(EVALUATED, "evaluated", "results are finite numbers")                      \
  X(ERROR, "error", "the evaluation raised an error")                          \
  X(NOT_A_NUMBER, "not_a_number", "an objective or limit was not finite")      \
  X(TIMEOUT, "timeout", "the evaluation took too long")                        \
  X(MEMORY, "memory", "the evaluation asked for too much memory")              \
  X(CRASH, "crash", "the worker process died")

typedef enum bv_outcome {
#define BV_OUTCOME_ENUM(code, word, meaning) BV_OUTCOME_##code,
  BV_OUTCOME_MAP(BV_OUTCOME_ENUM)
#undef BV_OUTCOME_ENUM
      BV_OUTCOME_COUNT
} bv_outcome;

/* The word of an outcome; static text. */
const char *bv_outcome_word(bv_outcome outcome);

/* One evaluation asked for. `relaxed` lets the model smooth what is discrete
 * inside; `was_relaxed` tells whether it did: such a point never stands on a
 * front. The search asks for exact results alone: on the charger studies
 * relaxed ones cost more evaluations than they saved. */
typedef struct bv_evaluation {
  const double *x;    /* space.count values, allowed ones */
  bool relaxed;       /* in */
  bool was_relaxed;   /* out; false where the results are exact */
  double *objectives; /* out, smaller is better */
  double *limits;     /* out, <= 0 is met, scaled so that 1 is a lot */
  double cause;       /* out, of a failure: equal where points failed alike;
                         finite, 0: unknown */
} bv_evaluation;

/* Evaluates one point; anything but BV_OUTCOME_EVALUATED leaves the results
 * undefined. Must depend on x and relaxed alone. */
typedef bv_outcome (*bv_evaluate)(void *context, bv_evaluation *evaluation);

typedef struct bv_problem {
  bv_space space;
  size_t objectives; /* 1 … BV_OBJECTIVES_MOST */
  size_t limits;     /* 0 … BV_LIMITS_MOST */
  bv_evaluate evaluate;
  void *context;
} bv_problem;

/* A limit counts as met up to this scaled violation. */
#define BV_LIMIT_TOLERANCE 1e-8

#endif
