/* SPDX-License-Identifier: MIT */
#include "search/problem.h"

static const char *const words[] = {
#define BV_OUTCOME_WORD(code, word, meaning) word,
    BV_OUTCOME_MAP(BV_OUTCOME_WORD)
#undef BV_OUTCOME_WORD
};

const char *bv_outcome_word(bv_outcome outcome) {
  return outcome < BV_OUTCOME_COUNT ? words[outcome] : "unknown";
}
