/* SPDX-License-Identifier: MIT */
/* The index of a sweep: how every case stands, from the entries of all slices.
 */
#ifndef BV_RUN_INDEX_H
#define BV_RUN_INDEX_H

#include "run/entry.h"
#include "run/journal.h"
#include "run/manifest.h"

/* Called for every entry in the order of a slice's journal; a case may have
 * several, the last one counts. */
typedef bv_status (*bv_entry_take)(void *context, const bv_entry *entry,
                                   bv_error *error);

/* The first line of a slice's entries: which sweep they belong to. */
void bv_entries_title(const bv_manifest *manifest, size_t slice,
                      bv_buffer *text);

/* Reads one slice's entries; one whose front isn't in the folder any more is
 * BV_CASE_MISSING. BV_BAD_DATA: damaged, or of another sweep.
 * BV_NO_INPUT. */
bv_status bv_entries_read(const char *folder, const bv_manifest *manifest,
                          size_t slice, bv_entry_take take, void *context,
                          bv_journal_end *end, bv_error *error);

/* entries[case]; one that has none is BV_CASE_MISSING. A case's array of a
 * thousand takes about a megabyte. */
typedef struct bv_index {
  size_t count;
  bv_entry *entries;
} bv_index;

/* As bv_entries_read; BV_INTERNAL: out of memory. */
bv_status bv_index_read(const char *folder, const bv_manifest *manifest,
                        bv_index *index, bv_error *error);
void bv_index_free(bv_index *index);

/* The index as CSV: a row a case, in their order. All but the last column,
 * `seconds`, is the same whatever the run was cut into. */
void bv_index_print(const bv_manifest *manifest, const bv_index *index,
                    bv_buffer *csv);

#endif
