/* SPDX-License-Identifier: MIT */
/* What is thrown away in the folder of a sweep: files that a sweep has made,
 * known by their whole names. Whatever else somebody keeps there stays. */
#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "run/sweep_state.h"

/* Whose files are meant: every step-th case from the first. */
typedef struct scope {
  const bv_manifest *manifest;
  size_t first, step;
} scope;

/* Tells whether a name is meant. */
typedef bool (*choosing)(const scope *whose, const char *name);
typedef bv_status (*acting)(const char *file, bv_error *error);

/* Calls act for each chosen file in a part of the folder, but for the lock. */
static bv_status for_each_file(const bv_sweep_state *sweep, const char *part,
                               const scope *whose, choosing choose, acting act,
                               bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_status status =
      bv_path_print(path, error, "%s/%s", sweep->options->folder, part);
  DIR *folder = status == BV_OK ? opendir(path) : NULL;
  if (!folder)
    return status;
  for (struct dirent *entry; status == BV_OK && (entry = readdir(folder));) {
    char file[BV_PATH_SIZE];
    if (!choose(whose, entry->d_name))
      continue;
    status = bv_path_print(file, error, "%s/%s", path, entry->d_name);
    if (status == BV_OK && strcmp(file, sweep->lock.path) != 0)
      status = act(file, error);
  }
  closedir(folder);
  return status;
}

static bv_status refuse_held(const char *file, bv_error *error) {
  char owner[512];
  if (!bv_lock_is_held(file, owner, sizeof owner))
    return BV_OK;
  return bv_fail(error, BV_LOCKED,
                 "%s: another run works here, nothing is thrown away", file);
}

static bv_status throw_away(const char *file, bv_error *error) {
  if (unlink(file) == 0 || errno == ENOENT)
    return BV_OK;
  return bv_fail(error, BV_CANNOT_WRITE, "%s: %s", file, strerror(errno));
}

/* Names */

static bool is_slice_file(const char *name, const char *kind) {
  char own[64];
  size_t slice, slices;
  if (sscanf(name, "%zu-of-%zu", &slice, &slices) != 2)
    return false;
  snprintf(own, sizeof own, "%zu-of-%zu.%s", slice, slices, kind);
  return strcmp(name, own) == 0;
}

/* Of whatever slice: it may be one of another number of slices. */
static bool is_lock(const scope *whose, const char *name) {
  (void) whose;
  return is_slice_file(name, "lock");
}

static bool is_journal(const scope *whose, const char *name) {
  return is_slice_file(name, "entries") || is_slice_file(name, "diary") ||
         is_lock(whose, name);
}

/* Whether the first letters of a name are "BEGINNING ENDING". */
static bool is_made_of(const char *name, size_t length, const char *beginning,
                       const char *ending) {
  size_t start = strlen(beginning);
  return length == start + strlen(ending) &&
         memcmp(name, beginning, start) == 0 &&
         memcmp(name + start, ending, length - start) == 0;
}

static const char *const endings[] = {".csv", ".schema.json", ".near.csv",
                                      ".near.schema.json", ".report"};
enum { ENDINGS = sizeof endings / sizeof *endings };

static bool is_of_case(const scope *whose, const char *name, size_t length) {
  size_t cases = length > 0 ? bv_manifest_cases(whose->manifest) : 0;
  for (size_t i = whose->first; i < cases; i += whose->step)
    for (size_t k = 0; k < ENDINGS; k++)
      if (is_made_of(name, length, bv_manifest_case(whose->manifest, i),
                     endings[k]))
        return true;
  return false;
}

/* Beside the manifest all slices write. */
static bool is_of_all(const scope *whose, const char *name, size_t length) {
  static const char *const names[] = {"index.csv", "front.csv",
                                      "front.schema.json"};
  for (size_t i = 0; i < sizeof names / sizeof *names; i++)
    if (whose->step == 1 && is_made_of(name, length, names[i], ""))
      return true;
  return false;
}

static bool is_collected(const scope *whose, const char *name) {
  return is_of_all(whose, name, strlen(name));
}

/* What was being written when a run was killed. Files of other slices may be in
 * the making. */
static bool is_stray_of_case(const scope *whose, const char *name) {
  return is_of_case(whose, name, bv_file_staged(name));
}

static bool is_stray_of_all(const scope *whose, const char *name) {
  size_t length = bv_file_staged(name);
  return is_of_all(whose, name, length) ||
         (whose->step == 1 && is_made_of(name, length, "manifest", ""));
}

/* Case by case: there may be too many to look each file up. */
static bv_status throw_cases_away(const bv_sweep_state *sweep,
                                  const scope *whose, bv_error *error) {
  bv_status status = BV_OK;
  size_t files = ENDINGS * bv_manifest_cases(whose->manifest);
  for (size_t i = 0; i < files && status == BV_OK; i++) {
    char file[BV_PATH_SIZE];
    status = bv_path_print(file, error, "%s/cases/%s%s", sweep->options->folder,
                           bv_manifest_case(whose->manifest, i / ENDINGS),
                           endings[i % ENDINGS]);
    if (status == BV_OK)
      status = throw_away(file, error);
  }
  return status;
}

/* Everything of another sweep goes. The journals go first, then what they
 * speak of, and the manifest, which names the cases, last: wherever this is
 * cut, what is left is a sweep that isn't far. */
bv_status bv_sweep_clear_all(const bv_sweep_state *sweep,
                             const bv_manifest *there, bv_error *error) {
  char path[BV_PATH_SIZE];
  const scope whole = {there, 0, 1};
  bv_status status =
      for_each_file(sweep, "slices", &whole, is_lock, refuse_held, error);
  if (status == BV_OK)
    status =
        for_each_file(sweep, "slices", &whole, is_journal, throw_away, error);
  if (status == BV_OK)
    status = throw_cases_away(sweep, &whole, error);
  if (status == BV_OK)
    status = for_each_file(sweep, "cases", &whole, is_stray_of_case, throw_away,
                           error);
  if (status == BV_OK)
    status = for_each_file(sweep, ".", &whole, is_collected, throw_away, error);
  if (status == BV_OK)
    status = bv_path_print(path, error, "%s/manifest", sweep->options->folder);
  return status == BV_OK ? throw_away(path, error) : status;
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
      status = throw_away(path, error);
  }
  return status;
}

bv_status bv_sweep_clear_strays(const bv_sweep_state *sweep, bv_error *error) {
  const scope own = {&sweep->manifest, sweep->options->slice,
                     sweep->options->slices};
  bv_status status =
      for_each_file(sweep, "cases", &own, is_stray_of_case, throw_away, error);
  if (status == BV_OK)
    status =
        for_each_file(sweep, ".", &own, is_stray_of_all, throw_away, error);
  return status;
}
