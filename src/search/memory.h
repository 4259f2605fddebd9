/* SPDX-License-Identifier: MIT */
/* Memory of the search. Its structures are small beside the studies that feed
 * them; where memory runs out all the same, the process tells it and ends with
 * the code of BV_INTERNAL (there is no half archive to go on with). */
#ifndef BV_SEARCH_MEMORY_H
#define BV_SEARCH_MEMORY_H

#include <stddef.h>

/* Zeroed memory for count things of a size. */
void *bv_allocate(size_t count, size_t size);

/* The same, not zeroed: for what is written before it is read. */
void *bv_reserve(size_t count, size_t size);

/* Doubles the room (at least 16) of an array of things of a size. */
void *bv_grow(void *array, size_t *room, size_t size);

#endif
