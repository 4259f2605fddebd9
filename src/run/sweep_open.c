/* SPDX-License-Identifier: MIT */
/* The beginning of a sweep: is it the one in the folder, and how far is it? */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/version.h"
#include "run/index.h"
#include "run/sweep_state.h"

/* What sweep this is */

static void add_settings(const bv_sweep_options *options,
                         bv_manifest *manifest) {
  const bv_drive_options *drive = &options->drive;
  char number[BV_NUMBER_SIZE];
  bv_manifest_add(manifest, "seed", "%" PRIu64, drive->search.seed);
  bv_manifest_add(manifest, "seed_designs", "%s",
                  *drive->seed_designs ? drive->seed_designs : "none");
  bv_manifest_add(manifest, "evaluations", "%" PRIu64,
                  drive->search.evaluations);
  bv_manifest_add(manifest, "stagnation", "%" PRIu64, drive->search.stagnation);
  bv_manifest_add(manifest, "rows", "%zu", drive->rows);
  bv_manifest_add(manifest, "failures", "%" PRIu64, drive->failures_most);
  bv_manifest_add(manifest, "point_seconds", "%s",
                  bv_format_number(number, drive->point_seconds));
  bv_manifest_add(manifest, "slices", "%zu", options->slices);
  for (size_t i = 0; i < options->argument_count; i++)
    bv_manifest_add(manifest, "argument", "%s", options->arguments[i]);
}

static void make_manifest(const bv_sweep_state *sweep, bv_manifest *manifest) {
  const char *path = bv_study_path(sweep->study), *slash = strrchr(path, '/');
  size_t objectives;
  const bv_objective *objective =
      bv_study_objectives(sweep->study, &objectives);
  *manifest = (bv_manifest){0};
  bv_manifest_add(manifest, "version", "%s", BV_VERSION);
  bv_manifest_add(manifest, "script", "%s", slash ? slash + 1 : path);
  bv_manifest_add(manifest, "study", "%s", bv_study_digest(sweep->study));
  bv_manifest_add(manifest, "title", "%s", bv_study_title(sweep->study));
  add_settings(sweep->options, manifest);
  for (size_t i = 0; i < objectives; i++)
    bv_manifest_add(manifest, objective[i].maximise ? "maximise" : "minimise",
                    "%s", objective[i].name);
  for (size_t i = 0; i < sweep->cases; i++)
    bv_manifest_add(manifest, "case", "%s",
                    bv_study_case_name(sweep->study, i));
}

/* Opening */

static bv_status add_hint(bv_status status, const char *hint, bv_error *error) {
  size_t used = strlen(error->text);
  if (status == BV_BAD_DATA)
    snprintf(error->text + used, sizeof error->text - used, "; %s", hint);
  return status;
}

static const char restart_hint[] = "--restart throws away what it wrote";
/* Without the names of the cases nothing may be thrown away. */
static const char damage_hint[] =
    "nothing tells which files are the sweep's, choose another folder";

static bv_status begin_anew(const bv_sweep_state *sweep,
                            const bv_manifest *there, bv_error *error) {
  bv_status status = bv_sweep_clear_all(sweep, there, error);
  if (status == BV_OK)
    status = bv_manifest_write(sweep->options->folder, &sweep->manifest, error);
  return status;
}

static bv_status settle_manifest(bv_sweep_state *sweep, bv_error *error) {
  const char *folder = sweep->options->folder;
  bool restart = sweep->options->restart;
  bv_manifest there;
  bv_status status = bv_manifest_read(folder, &there, error);
  if (status == BV_NO_INPUT)
    return bv_manifest_write(folder, &sweep->manifest, error);
  if (status != BV_OK)
    return add_hint(status, damage_hint, error);
  status = bv_manifest_compare(&there, &sweep->manifest, error);
  if (status == BV_BAD_DATA && restart)
    status = begin_anew(sweep, &there, error);
  else if (status == BV_OK && restart)
    status = bv_sweep_clear_slice(sweep, error);
  bv_manifest_free(&there);
  return add_hint(status, restart_hint, error);
}

static bv_status take_entry(void *context, const bv_entry *entry,
                            bv_error *error) {
  bv_sweep_state *sweep = context;
  (void) error;
  bool is_final = bv_case_is_final(entry->status);
  if (entry->status == BV_CASE_MISSING && !sweep->options->drive.quiet)
    fprintf(stderr, "the front of case '%s' is gone: it is searched again\n",
            bv_study_case_name(sweep->study, entry->number));
  if (is_final && !sweep->settled[entry->number]) {
    sweep->meter.settled++;
    sweep->designs += entry->rows > 0;
  }
  sweep->settled[entry->number] = is_final;
  return BV_OK;
}

static bv_status open_entries(bv_sweep_state *sweep, bv_error *error) {
  const bv_sweep_options *options = sweep->options;
  char path[BV_PATH_SIZE];
  bv_journal_end end = {0};
  bv_status status = bv_path_of_slice(path, options->folder, options->slice,
                                      options->slices, "entries", error);
  if (status == BV_OK)
    status = bv_entries_read(options->folder, &sweep->manifest, options->slice,
                             take_entry, sweep, &end, error);
  if (status == BV_OK)
    status = bv_journal_go_on(&sweep->entries, path, end, error);
  if (status == BV_OK && end.lines == 0) {
    bv_buffer title = {0};
    bv_entries_title(&sweep->manifest, options->slice, &title);
    bv_journal_append(&sweep->entries, title.failed ? "" : title.text,
                      title.length);
    bv_buffer_free(&title);
    status = bv_journal_sync(&sweep->entries, error);
  }
  return status;
}

static bv_status make_folders(const char *folder, bv_error *error) {
  static const char *const parts[] = {"cases", "slices"};
  bv_status status = BV_OK;
  for (size_t i = 0; i < 2 && status == BV_OK; i++) {
    char path[BV_PATH_SIZE];
    status = bv_path_print(path, error, "%s/%s", folder, parts[i]);
    if (status == BV_OK)
      status = bv_folder_make(path, error);
  }
  return status;
}

bv_status bv_sweep_open(bv_sweep_state *sweep, bv_error *error) {
  const bv_sweep_options *options = sweep->options;
  char path[BV_PATH_SIZE];
  sweep->settled = calloc(sweep->cases + 1, sizeof *sweep->settled);
  if (!sweep->settled)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  make_manifest(sweep, &sweep->manifest);
  bv_status status = make_folders(options->folder, error);
  if (status == BV_OK)
    status = bv_path_of_slice(path, options->folder, options->slice,
                              options->slices, "lock", error);
  if (status == BV_OK)
    status = bv_lock_take(&sweep->lock, path, BV_LOCK_PATIENCE, error);
  if (status == BV_OK)
    status = settle_manifest(sweep, error);
  if (status == BV_OK)
    status = bv_sweep_clear_strays(sweep, error);
  if (status == BV_OK)
    status = add_hint(open_entries(sweep, error), restart_hint, error);
  return status;
}

void bv_sweep_close(bv_sweep_state *sweep) {
  bv_journal_close(&sweep->entries);
  bv_lock_give(&sweep->lock);
  bv_manifest_free(&sweep->manifest);
  free(sweep->settled);
}
