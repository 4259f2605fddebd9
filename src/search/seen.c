/* SPDX-License-Identifier: MIT */
#include "search/seen.h"

#include <stdlib.h>
#include <string.h>

#include "search/memory.h"

void bv_seen_free(bv_seen *seen) {
  free(seen->marks);
  *seen = (bv_seen){0};
}

/* 64 bits of a point: FNV-1a by words, its high bits stirred into the low
 * ones; never 0, which marks a free place. */
static uint64_t fingerprint(const double *x, size_t count) {
  uint64_t hash = 0xcbf29ce484222325u;
  for (size_t i = 0; i < count; i++) {
    double value = x[i] + 0.0; /* -0 and 0 are one point */
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    hash = (hash ^ bits) * 0x100000001b3u;
    hash ^= hash >> 29;
    hash *= 0xbf58476d1ce4e5b9u;
    hash ^= hash >> 32;
  }
  return hash ? hash : 1;
}

static bool put(bv_seen *seen, uint64_t mark) {
  size_t at = mark & (seen->room - 1);
  for (; seen->marks[at]; at = (at + 1) & (seen->room - 1))
    if (seen->marks[at] == mark)
      return false;
  seen->marks[at] = mark;
  seen->count++;
  return true;
}

/* It grows with every evaluation of a long run: where memory ends, what was
 * seen is forgotten, and some of it is evaluated again. */
static void make_room(bv_seen *seen) {
  bv_seen larger = {.room = seen->room ? 2 * seen->room : 1024};
  larger.marks = seen->room ? calloc(larger.room, sizeof *larger.marks)
                            : bv_allocate(larger.room, sizeof *larger.marks);
  if (!larger.marks) {
    memset(seen->marks, 0, seen->room * sizeof *seen->marks);
    seen->count = 0;
    return;
  }
  for (size_t i = 0; i < seen->room; i++)
    if (seen->marks[i])
      put(&larger, seen->marks[i]);
  free(seen->marks);
  *seen = larger;
}

bool bv_seen_add(bv_seen *seen, const double *x, size_t count) {
  if (4 * (seen->count + 1) > 3 * seen->room)
    make_room(seen);
  return put(seen, fingerprint(x, count));
}
