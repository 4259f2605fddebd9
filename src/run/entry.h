/* SPDX-License-Identifier: MIT */
/* Entries: what the index tells of a case. As a line of a journal:
 *
 *   entry NUMBER STATUS EVALUATIONS FEASIBLE ROWS HYPERVOLUME SECONDS
 *         FAILED… BEST… REASON
 *
 * with one count a kind of failure and COLUMN=VALUE an objective. */
#ifndef BV_RUN_ENTRY_H
#define BV_RUN_ENTRY_H

#include <stdint.h>

#include "base/text.h"
#include "search/problem.h"

/* X(code, word): how a case stands. */
#define BV_CASE_MAP(X)                                                         \
  X(MISSING, "missing")                                                        \
  X(DONE, "done")                                                              \
  X(NO_DESIGN, "no_design")                                                    \
  X(FAILED, "failed")                                                          \
  X(INTERRUPTED, "interrupted")

typedef enum bv_case_status {
#define BV_CASE_ENUM(code, word) BV_CASE_##code,
  BV_CASE_MAP(BV_CASE_ENUM)
#undef BV_CASE_ENUM
      BV_CASE_COUNT
} bv_case_status;

const char *bv_case_word(bv_case_status status);

/* True where the case needs no further search. */
bool bv_case_is_final(bv_case_status status);

/* Room for the header cell of an objective's column. */
enum { BV_COLUMN_SIZE = 128, BV_REASON_SIZE = 240 };

typedef struct bv_best {
  char column[BV_COLUMN_SIZE];
  double value;
} bv_best;

typedef struct bv_entry {
  size_t number; /* of the case, from 0 */
  bv_case_status status;
  uint64_t evaluations, feasible, rows;
  double hypervolume, seconds;
  uint64_t outcomes[BV_OUTCOME_COUNT];
  size_t objectives;
  bv_best best[BV_OBJECTIVES_MOST]; /* of the rows */
  char reason[BV_REASON_SIZE];      /* why it failed; no newline */
} bv_entry;

void bv_entry_print(const bv_entry *entry, bv_buffer *text);

/* False where the text is no entry. */
bool bv_entry_read(const char *text, bv_entry *entry);

#endif
