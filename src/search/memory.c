/* SPDX-License-Identifier: MIT */
#include "search/memory.h"

#include <stdlib.h>

void *bv_allocate(size_t count, size_t size) {
  void *memory = calloc(count ? count : 1, size);
  if (!memory)
    abort();
  return memory;
}

void *bv_grow(void *array, size_t *room, size_t size) {
  size_t wanted = *room < 8 ? 16 : 2 * *room;
  void *memory = reallocarray(array, wanted, size);
  if (!memory)
    abort();
  *room = wanted;
  return memory;
}
