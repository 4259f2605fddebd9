/* SPDX-License-Identifier: MIT */
#include "run/collect.h"

#include <stdlib.h>
#include <string.h>

#include "base/file.h"

static bv_status add_case(const char *folder, const char *name, bv_merge *merge,
                          bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_front front;
  bv_status status =
      bv_path_print(path, error, "%s/cases/%s.csv", folder, name);
  if (status == BV_OK)
    status = bv_front_read(path, &front, error);
  if (status != BV_OK)
    return status;
  status = bv_merge_add(merge, &front, path, name, error);
  bv_front_free(&front);
  return status;
}

static bv_status add_cases(const char *folder, const bv_manifest *manifest,
                           const bv_index *index, bv_merge *merge,
                           bv_error *error) {
  bv_status status = BV_OK;
  for (size_t i = 0; i < index->count && status == BV_OK; i++)
    if (index->entries[i].rows > 0)
      status = add_case(folder, bv_manifest_case(manifest, i), merge, error);
  return status;
}

static bv_status write_index(const char *folder, const bv_manifest *manifest,
                             const bv_index *index, bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_buffer csv = {0};
  bv_status status = bv_path_print(path, error, "%s/index.csv", folder);
  bv_index_print(manifest, index, &csv);
  if (status == BV_OK && csv.failed)
    status = bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  if (status == BV_OK)
    status = bv_file_replace(path, csv.text, csv.length, error);
  bv_buffer_free(&csv);
  return status;
}

static bv_collected count(const bv_index *index) {
  bv_collected all = {0};
  for (size_t i = 0; i < index->count; i++) {
    all.missing += !bv_case_is_final(index->entries[i].status);
    all.evaluations += index->entries[i].evaluations;
  }
  return all;
}

bv_status bv_collect_into(bv_merge *merge, const char *folder,
                          bv_collected *collected, bv_error *error) {
  bv_manifest manifest;
  bv_index index = {0};
  bv_status status = bv_manifest_read(folder, &manifest, error);
  if (status != BV_OK)
    return status;
  status = bv_index_read(folder, &manifest, &index, error);
  if (status == BV_OK)
    status = add_cases(folder, &manifest, &index, merge, error);
  *collected = count(&index);
  if (status == BV_OK)
    status = write_index(folder, &manifest, &index, error);
  bv_index_free(&index);
  bv_manifest_free(&manifest);
  return status;
}

static int by_name(const void *a, const void *b) {
  return strcmp(*(const char *const *) a, *(const char *const *) b);
}

/* Cases that rows of a merged front are of; 0 where memory ran out. */
static size_t count_cases(const bv_front *front) {
  size_t column = bv_front_find(front, "case"), count = 0;
  const char **names = calloc(front->rows + 1, sizeof *names);
  if (names && column < front->columns) {
    for (size_t r = 0; r < front->rows; r++)
      names[r] = bv_front_value(front, r, column)->text;
    qsort(names, front->rows, sizeof *names, by_name);
    for (size_t r = 0; r < front->rows; r++)
      count += r == 0 || strcmp(names[r - 1], names[r]) != 0;
  }
  free(names);
  return count;
}

static bv_status write_front(const bv_merge *merge, const char *folder,
                             uint64_t evaluations, size_t *shown,
                             bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_front front = {0};
  bv_status status = bv_path_print(path, error, "%s/front.csv", folder);
  if (status == BV_OK)
    status = bv_merge_front(merge, &front, error);
  if (status == BV_OK && front.rows == 0)
    status = bv_fail(error, BV_NO_DESIGN, "%s: no case has a design", folder);
  front.origin.evaluations = evaluations;
  *shown = count_cases(&front);
  if (status == BV_OK)
    status = bv_front_write(&front, NULL, path, error);
  bv_front_free(&front);
  return status;
}

bv_status bv_collect(const char *folder, size_t *shown, bv_error *error) {
  bv_collected collected;
  *shown = 0;
  bv_merge *merge = bv_merge_new();
  if (!merge)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  bv_status status = bv_collect_into(merge, folder, &collected, error);
  if (status == BV_OK)
    status = write_front(merge, folder, collected.evaluations, shown, error);
  bv_merge_free(merge);
  return status;
}
