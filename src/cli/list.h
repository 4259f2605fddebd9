/* SPDX-License-Identifier: MIT */
#ifndef BV_CLI_LIST_H
#define BV_CLI_LIST_H

#include <stddef.h>

#include "base/status.h"

/* The words of a list with commas between them, in one block. */
typedef struct bv_list {
  size_t count;
  const char **words;
  char *block;
} bv_list;

/* BV_USAGE: an empty word; BV_INTERNAL: out of memory. */
bv_status bv_list_split(const char *text, bv_list *list, bv_error *error);
void bv_list_free(bv_list *list);

#endif
