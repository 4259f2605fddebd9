/* SPDX-License-Identifier: MIT */
#include "search/memory.h"

#include <stdlib.h>
#include <unistd.h>

#include "base/status.h"

static void out_of_memory(void) {
  static const char text[] = "brimvolt: out of memory for the search\n";
  ssize_t put = write(STDERR_FILENO, text, sizeof text - 1);
  (void) put;
  _exit(bv_status_exit_code(BV_INTERNAL));
}

void *bv_allocate(size_t count, size_t size) {
  void *memory = calloc(count ? count : 1, size);
  if (!memory)
    out_of_memory();
  return memory;
}

void *bv_reserve(size_t count, size_t size) {
  void *memory = reallocarray(NULL, count ? count : 1, size);
  if (!memory)
    out_of_memory();
  return memory;
}

void *bv_grow(void *array, size_t *room, size_t size) {
  size_t wanted = *room < 8 ? 16 : 2 * *room;
  void *memory = reallocarray(array, wanted, size);
  if (!memory)
    out_of_memory();
  *room = wanted;
  return memory;
}
