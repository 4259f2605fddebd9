/* SPDX-License-Identifier: MIT */
/* What is thrown away in the folder of a sweep. */
#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "run/sweep_state.h"

static bool ends_with(const char *name, const char *end) {
  size_t length = strlen(name), most = strlen(end);
  return length > most && strcmp(name + length - most, end) == 0;
}

static bool is_made_here(const bv_sweep_state *sweep, const char *name) {
  static const char *const ends[] = {".csv",     ".schema.json", ".report",
                                     ".entries", ".diary",       ".lock"};
  (void) sweep;
  for (size_t i = 0; i < sizeof ends / sizeof *ends; i++)
    if (ends_with(name, ends[i]))
      return true;
  return false;
}

/* Tells which file names are meant. */
typedef bool (*choosing)(const bv_sweep_state *sweep, const char *name);
typedef bv_status (*acting)(const bv_sweep_state *sweep, const char *file,
                            bv_error *error);

/* Calls act for each chosen file in a part of the folder, but for the lock. */
static bv_status for_each_file(const bv_sweep_state *sweep, const char *part,
                               choosing choose, acting act, bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_status status =
      bv_path_print(path, error, "%s/%s", sweep->options->folder, part);
  DIR *folder = status == BV_OK ? opendir(path) : NULL;
  if (!folder)
    return status;
  for (struct dirent *entry; status == BV_OK && (entry = readdir(folder));) {
    char file[BV_PATH_SIZE];
    status = bv_path_print(file, error, "%s/%s/%s", sweep->options->folder,
                           part, entry->d_name);
    if (status == BV_OK && choose(sweep, entry->d_name) &&
        strcmp(file, sweep->lock.path) != 0)
      status = act(sweep, file, error);
  }
  closedir(folder);
  return status;
}

static bv_status refuse_held(const bv_sweep_state *sweep, const char *file,
                             bv_error *error) {
  char owner[512];
  (void) sweep;
  if (!ends_with(file, ".lock") || !bv_lock_is_held(file, owner, sizeof owner))
    return BV_OK;
  return bv_fail(error, BV_LOCKED,
                 "%s: another run works here, nothing is thrown away", file);
}

static bv_status throw_away(const bv_sweep_state *sweep, const char *file,
                            bv_error *error) {
  (void) sweep;
  if (unlink(file) == 0 || errno == ENOENT)
    return BV_OK;
  return bv_fail(error, BV_CANNOT_WRITE, "%s: %s", file, strerror(errno));
}

/* Everything of another sweep goes, its manifest first: without it nothing is
 * taken for its successor's. */
bv_status bv_sweep_clear_all(const bv_sweep_state *sweep, bv_error *error) {
  static const char *const parts[] = {"slices", "cases", "."};
  char path[BV_PATH_SIZE];
  bv_status status =
      for_each_file(sweep, "slices", is_made_here, refuse_held, error);
  if (status == BV_OK)
    status = bv_path_print(path, error, "%s/manifest", sweep->options->folder);
  if (status == BV_OK)
    status = throw_away(sweep, path, error);
  for (size_t i = 0; i < sizeof parts / sizeof *parts && status == BV_OK; i++)
    status = for_each_file(sweep, parts[i], is_made_here, throw_away, error);
  return status;
}

bv_status bv_sweep_clear_slice(const bv_sweep_state *sweep, bv_error *error) {
  static const char *const kinds[] = {"entries", "diary"};
  const bv_sweep_options *options = sweep->options;
  bv_status status = BV_OK;
  for (size_t i = 0; i < 2 && status == BV_OK; i++) {
    char path[BV_PATH_SIZE];
    status = bv_path_of_slice(path, options->folder, options->slice,
                              options->slices, kinds[i], error);
    if (status == BV_OK)
      status = throw_away(sweep, path, error);
  }
  return status;
}

/* Files that were being written when a run was killed end in six letters more
 * (mkstemp). Those of other slices may be in the making. */
enum { MORE = sizeof ".XXXXXX" - 1 };

static bool is_case_of_slice(const bv_sweep_state *sweep, const char *name,
                             size_t length) {
  const bv_sweep_options *options = sweep->options;
  for (size_t i = options->slice; i < sweep->cases; i += options->slices) {
    const char *own = bv_manifest_case(&sweep->manifest, i);
    if (strlen(own) == length && memcmp(own, name, length) == 0)
      return true;
  }
  return false;
}

static bool is_stray(const bv_sweep_state *sweep, const char *name) {
  static const char *const ends[] = {".csv", ".schema.json", ".near.csv",
                                     ".near.schema.json", ".report"};
  size_t length = strlen(name);
  if (length <= MORE || name[length - MORE] != '.')
    return false;
  length -= MORE;
  for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
    size_t end = strlen(ends[i]);
    if (length > end && memcmp(name + length - end, ends[i], end) == 0 &&
        is_case_of_slice(sweep, name, length - end))
      return true;
  }
  return false;
}

/* Beside the manifest others may write too, unless there is one slice. */
static bool is_stray_of_all(const bv_sweep_state *sweep, const char *name) {
  static const char *const begins[] = {"manifest.", "index.csv.", "front.csv.",
                                       "front.schema.json."};
  size_t length = strlen(name);
  for (size_t i = 0; i < sizeof begins / sizeof *begins; i++)
    if (sweep->options->slices == 1 && length == strlen(begins[i]) + MORE - 1 &&
        strncmp(name, begins[i], strlen(begins[i])) == 0)
      return true;
  return false;
}

bv_status bv_sweep_clear_strays(const bv_sweep_state *sweep, bv_error *error) {
  bv_status status = for_each_file(sweep, "cases", is_stray, throw_away, error);
  if (status == BV_OK)
    status = for_each_file(sweep, ".", is_stray_of_all, throw_away, error);
  return status;
}
