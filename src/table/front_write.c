/* SPDX-License-Identifier: MIT */
/* Writing a front, its sidecar and its near designs. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "table/front.h"

static bv_status no_memory(const char *path, bv_error *error) {
  return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
}

static bv_status stage_rows(const bv_front *front, const char *path,
                            bv_staged *staged, bv_error *error) {
  bv_buffer csv = {0};
  bv_front_print_csv(front, &csv);
  bv_status status =
      csv.failed ? no_memory(path, error)
                 : bv_file_stage(path, csv.text, csv.length, staged, error);
  bv_buffer_free(&csv);
  return status;
}

static bv_status stage_schema(const bv_front *front, const char *path,
                              bv_staged *staged, bv_error *error) {
  bv_buffer json = {0};
  const char *slash = strrchr(path, '/');
  char *schema_path = bv_front_schema_path(path);
  bv_status status =
      schema_path
          ? bv_front_print_schema(front, slash ? slash + 1 : path, &json, error)
          : no_memory(path, error);
  if (status == BV_OK)
    status = bv_file_stage(schema_path, json.text, json.length, staged, error);
  bv_buffer_free(&json);
  free(schema_path);
  return status;
}

static bv_status stage(const bv_front *front, const char *path,
                       bv_staged staged[2], bv_error *error) {
  bv_status status = stage_schema(front, path, &staged[0], error);
  return status == BV_OK ? stage_rows(front, path, &staged[1], error) : status;
}

/* Takes away the near designs of a front that is gone; a file that isn't told
 * to hold such is somebody else's. */
static void remove_near(const char *near_path) {
  bv_front near;
  if (bv_front_read(near_path, &near, NULL) != BV_OK)
    return;
  char *schema_path = bv_front_schema_path(near_path);
  if (schema_path && near.origin.digest && bv_front_is_near(&near)) {
    unlink(near_path);
    unlink(schema_path);
  }
  free(schema_path);
  bv_front_free(&near);
}

/* All files are on the disk before any takes its place; the front comes last.
 */
static bv_status write_files(const bv_front *front, const bv_front *near,
                             const char *path, const char *near_path,
                             bv_error *error) {
  enum { FILES = 4 };
  bv_staged staged[FILES] = {0};
  bool has_near = near && near->rows > 0;
  bv_status status = stage(front, path, staged + 2, error);
  if (status == BV_OK && has_near)
    status = stage(near, near_path, staged, error);
  for (size_t i = has_near ? 0 : 2; i < FILES && status == BV_OK; i++)
    status = bv_file_commit(&staged[i], error);
  if (status == BV_OK && !has_near)
    remove_near(near_path);
  for (size_t i = 0; i < FILES; i++)
    bv_file_discard(&staged[i]);
  return status;
}

bv_status bv_front_write(const bv_front *front, const bv_front *near,
                         const char *path, bv_error *error) {
  char *near_path = bv_front_near_path(path);
  bv_status status = near_path
                         ? write_files(front, near, path, near_path, error)
                         : no_memory(path, error);
  free(near_path);
  return status;
}
