/* SPDX-License-Identifier: MIT */
#include "run/index.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zlib.h>

#include "base/file.h"
#include "table/csvfile.h"

/* Entries of a slice */

void bv_entries_title(const bv_manifest *manifest, size_t slice,
                      bv_buffer *text) {
  uLong check = 0;
  for (size_t i = 0; i < manifest->count; i++)
    check = crc32_z(check, (const unsigned char *) manifest->lines[i],
                    strlen(manifest->lines[i]) + 1);
  bv_buffer_print(text, "slice %zu of %zu of the sweep %08lx", slice,
                  bv_manifest_slices(manifest), check);
}

typedef struct reader {
  const bv_manifest *manifest;
  const char *folder, *path, *title;
  bool titled;
  bv_entry_take take;
  void *context;
} reader;

static bool is_there(const char *folder, const char *name, const char *ending) {
  char path[BV_PATH_SIZE];
  return bv_path_print(path, NULL, "%s/cases/%s%s", folder, name, ending) ==
             BV_OK &&
         access(path, F_OK) == 0;
}

/* A case whose front was taken away is as good as never searched. */
static void forget_without_front(const reader *r, bv_entry *entry) {
  const char *name = bv_manifest_case(r->manifest, entry->number);
  if (entry->rows > 0 && !(is_there(r->folder, name, ".csv") &&
                           is_there(r->folder, name, ".schema.json")))
    *entry = (bv_entry){.number = entry->number};
}

static bv_status take_line(void *context, const char *text, bv_error *error) {
  reader *r = context;
  bv_entry entry;
  if (!r->titled) {
    r->titled = strcmp(text, r->title) == 0;
    return r->titled ? BV_OK
                     : bv_fail(error, BV_BAD_DATA,
                               "%s: expected '%s', found '%.100s'", r->path,
                               r->title, text);
  }
  if (!bv_entry_read(text, &entry) ||
      entry.number >= bv_manifest_cases(r->manifest))
    return bv_fail(error, BV_BAD_DATA, "%s: expected an entry, found '%.100s'",
                   r->path, text);
  forget_without_front(r, &entry);
  return r->take(r->context, &entry, error);
}

bv_status bv_entries_read(const char *folder, const bv_manifest *manifest,
                          size_t slice, bv_entry_take take, void *context,
                          bv_journal_end *end, bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_buffer title = {0};
  *end = (bv_journal_end){0};
  bv_status status = bv_path_of_slice(
      path, folder, slice, bv_manifest_slices(manifest), "entries", error);
  bv_entries_title(manifest, slice, &title);
  if (status == BV_OK && title.failed)
    status = bv_fail(error, BV_INTERNAL, "out of memory");
  reader r = {manifest, folder, path, title.text, false, take, context};
  if (status == BV_OK)
    status = bv_journal_read(path, take_line, &r, end, error);
  bv_buffer_free(&title);
  return status;
}

/* All slices */

static bv_status take_entry(void *context, const bv_entry *entry,
                            bv_error *error) {
  bv_index *index = context;
  (void) error;
  index->entries[entry->number] = *entry;
  return BV_OK;
}

bv_status bv_index_read(const char *folder, const bv_manifest *manifest,
                        bv_index *index, bv_error *error) {
  bv_journal_end end;
  bv_status status = BV_OK;
  index->count = bv_manifest_cases(manifest);
  index->entries = calloc(index->count + 1, sizeof *index->entries);
  if (!index->entries)
    return bv_fail(error, BV_INTERNAL, "out of memory for the index");
  for (size_t i = 0; i < index->count; i++)
    index->entries[i].number = i;
  for (size_t i = 0; i < bv_manifest_slices(manifest) && status == BV_OK; i++)
    status =
        bv_entries_read(folder, manifest, i, take_entry, index, &end, error);
  if (status != BV_OK)
    bv_index_free(index);
  return status;
}

void bv_index_free(bv_index *index) {
  free(index->entries);
  *index = (bv_index){0};
}

/* CSV */

/* The first entry with objectives tells what all call them. */
static const bv_entry *namer(const bv_index *index) {
  for (size_t i = 0; i < index->count; i++)
    if (index->entries[i].objectives > 0)
      return &index->entries[i];
  return NULL;
}

static void append_count(bv_buffer *csv, uint64_t value) {
  bv_buffer_print(csv, ",%" PRIu64, value);
}

/* A number that isn't known is an empty cell. */
static void append_number(bv_buffer *csv, double value) {
  char text[BV_NUMBER_SIZE];
  bv_buffer_print(csv, ",%s",
                  isfinite(value) ? bv_format_number(text, value) : "");
}

static void append_header(const bv_entry *names, bv_buffer *csv) {
  bv_buffer_print(csv, "case,status,evaluations,feasible,rows,hypervolume");
  for (size_t i = 0; names && i < names->objectives; i++) {
    char cell[BV_COLUMN_SIZE + 8];
    snprintf(cell, sizeof cell, "best_%s", names->best[i].column);
    bv_csv_append(csv, cell, 0);
  }
  for (bv_outcome i = 1; i < BV_OUTCOME_COUNT; i++)
    bv_buffer_print(csv, ",failed_%s", bv_outcome_word(i));
  bv_buffer_print(csv, ",reason,seconds\n");
}

static void append_entry(const char *name, const bv_entry *entry,
                         size_t objectives, bv_buffer *csv) {
  bv_csv_append(csv, name, 1);
  bv_csv_append(csv, bv_case_word(entry->status), 0);
  append_count(csv, entry->evaluations);
  append_count(csv, entry->feasible);
  append_count(csv, entry->rows);
  append_number(csv, entry->rows > 0 ? entry->hypervolume : (double) NAN);
  for (size_t i = 0; i < objectives; i++)
    append_number(csv,
                  i < entry->objectives ? entry->best[i].value : (double) NAN);
  for (size_t i = 1; i < BV_OUTCOME_COUNT; i++)
    append_count(csv, entry->outcomes[i]);
  bv_csv_append(csv, entry->reason, 0);
  append_number(csv, entry->seconds);
  bv_buffer_print(csv, "\n");
}

void bv_index_print(const bv_manifest *manifest, const bv_index *index,
                    bv_buffer *csv) {
  const bv_entry *names = namer(index);
  append_header(names, csv);
  for (size_t i = 0; i < index->count; i++)
    append_entry(bv_manifest_case(manifest, i), &index->entries[i],
                 names ? names->objectives : 0, csv);
}
