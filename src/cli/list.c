/* SPDX-License-Identifier: MIT */
#include "cli/list.h"

#include <stdlib.h>
#include <string.h>

bv_status bv_list_split(const char *text, bv_list *list, bv_error *error) {
  size_t most = 1;
  for (const char *c = text; *c; c++)
    most += *c == ',';
  *list = (bv_list){.words = calloc(most, sizeof *list->words),
                    .block = strdup(text)};
  if (!list->words || !list->block) {
    bv_list_free(list);
    return bv_fail(error, BV_INTERNAL, "out of memory");
  }
  char *rest = list->block;
  for (char *word; (word = strsep(&rest, ","));) {
    if (!*word)
      return bv_fail(error, BV_USAGE,
                     "expected words with commas between, found '%s'", text);
    list->words[list->count++] = word;
  }
  return BV_OK;
}

void bv_list_free(bv_list *list) {
  free(list->words);
  free(list->block);
  *list = (bv_list){0};
}
