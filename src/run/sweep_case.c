/* SPDX-License-Identifier: MIT */
/* One case of a sweep: searched, written, noted. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "base/utf8.h"
#include "run/clock.h"
#include "run/diary.h"
#include "run/index.h"
#include "run/sweep_state.h"

/* A case under way. */
typedef struct task {
  bv_sweep_state *sweep;
  size_t number;
  const char *name;
  char path[BV_PATH_SIZE]; /* of the diary */
  bv_diary *diary;
  bv_keeper keeper;        /* the diary's, with an eye on the lock */
  const bv_search *search; /* under way, once it was seen */
} task;

/* While it is searched */

static bv_status recall(void *context, const bv_cell *cell,
                        bv_cell_result *result, bool *known, bv_error *error) {
  const task *t = context;
  const bv_keeper *inner = bv_diary_keeper(t->diary);
  bv_status status = inner->recall(inner->context, cell, result, known, error);
  if (status == BV_OK && *known)
    t->sweep->meter.recalled += result->count;
  return status;
}

/* What `status` tells from another shell goes with each checkpoint. */
static void tell_standing(const task *t) {
  bv_standing standing = bv_sweep_meter_read(&t->sweep->meter, t->search);
  bv_buffer text = {0};
  bv_standing_print(&standing, &text);
  if (!text.failed)
    bv_diary_tell(t->diary, text.text);
  bv_buffer_free(&text);
}

static bv_status keep(void *context, const bv_cell *cell,
                      const bv_cell_result *result, bv_error *error) {
  const task *t = context;
  const bv_keeper *inner = bv_diary_keeper(t->diary);
  if (bv_diary_is_due(t->diary)) {
    if (bv_lock_check(&t->sweep->lock, error) != BV_OK)
      return BV_LOCKED;
    if (t->search)
      tell_standing(t);
    t->sweep->meter.synced = bv_clock();
  }
  return inner->keep(inner->context, cell, result, error);
}

static void watch(void *context, const bv_search *search, double seconds) {
  task *t = context;
  bv_sweep_meter *meter = &t->sweep->meter;
  (void) seconds;
  t->search = search;
  if (!bv_sweep_meter_is_due(meter))
    return;
  bv_standing standing = bv_sweep_meter_read(meter, search);
  bv_sweep_meter_show(meter, t->name, &standing);
}

static bv_status open_diary(task *t, bv_error *error) {
  const bv_sweep_options *options = t->sweep->options;
  bv_buffer title = {0};
  bv_entries_title(&t->sweep->manifest, options->slice, &title);
  bv_buffer_print(&title, ", case %zu %s", t->number, t->name);
  bv_status status =
      title.failed ? bv_fail(error, BV_INTERNAL, "out of memory")
                   : bv_path_of_slice(t->path, options->folder, options->slice,
                                      options->slices, "diary", error);
  if (status == BV_OK)
    status =
        bv_diary_open(t->path, title.text, bv_study_problem(t->sweep->study),
                      options->checkpoint, &t->diary, error);
  bv_buffer_free(&title);
  return status;
}

/* What is noted of it */

static void note_best(const bv_front *front, bv_entry *entry) {
  for (size_t c = 0; c < front->columns; c++) {
    bv_role role = front->column[c].role;
    if ((role != BV_ROLE_MINIMISE && role != BV_ROLE_MAXIMISE) ||
        entry->objectives == BV_OBJECTIVES_MOST || front->rows == 0)
      continue;
    bv_best *best = &entry->best[entry->objectives++];
    bv_buffer header = {0};
    bv_front_append_header(&front->column[c], &header);
    snprintf(best->column, sizeof best->column, "%s",
             header.failed ? "" : header.text);
    bv_buffer_free(&header);
    best->value = bv_front_value(front, 0, c)->number;
    for (size_t row = 1; row < front->rows; row++) {
      double value = bv_front_value(front, row, c)->number;
      best->value = role == BV_ROLE_MINIMISE ? fmin(best->value, value)
                                             : fmax(best->value, value);
    }
  }
}

/* A reason is one line that a table can hold, of whole letters. */
static void note_reason(const char *text, bv_entry *entry) {
  size_t length = strcspn(text, "\n"), used = 0;
  for (size_t at = 0; at < length;) {
    uint32_t point = 0;
    size_t letter = bv_utf8_decode(text + at, length - at, &point);
    bool plain = letter > 0 && !bv_utf8_is_control(point) && point != 0xfeff;
    if (used + (plain ? letter : 1) >= sizeof entry->reason)
      break;
    memcpy(entry->reason + used, plain ? text + at : "?", plain ? letter : 1);
    used += plain ? letter : 1;
    at += letter > 0 ? letter : 1;
  }
  entry->reason[used] = '\0';
}

static bv_case_status status_of(bv_status status,
                                const bv_drive_result *result) {
  if (status == BV_INTERRUPTED || status == BV_TERMINATED)
    return BV_CASE_INTERRUPTED;
  if (result->gave_up)
    return BV_CASE_FAILED;
  return status == BV_NO_DESIGN ? BV_CASE_NO_DESIGN : BV_CASE_DONE;
}

/* Seconds to the millisecond. */
static double rounded(double seconds) {
  return floor(1e3 * seconds + 0.5) / 1e3;
}

static bv_entry entry_of(const task *t, bv_status status,
                         const bv_drive_result *result) {
  const bv_search_state *state = &result->state;
  bv_entry entry = {.number = t->number,
                    .status = status_of(status, result),
                    .evaluations = state->evaluations,
                    .feasible = state->feasible,
                    .rows = result->front.rows,
                    .hypervolume = state->hypervolume,
                    .seconds =
                        rounded(bv_diary_seconds(t->diary) + result->seconds)};
  memcpy(entry.outcomes, state->outcomes, sizeof entry.outcomes);
  note_best(&result->front, &entry);
  if (result->gave_up)
    note_reason("too many points failed; the report tells examples", &entry);
  return entry;
}

/* What is written of it */

static bv_status path_of(const task *t, const char *ending, char *path,
                         bv_error *error) {
  return bv_path_print(path, error, "%s/cases/%s%s", t->sweep->options->folder,
                       t->name, ending);
}

/* Writes a front, or takes one away that an earlier run left. */
static bv_status write_front(const task *t, const bv_drive_result *result,
                             bv_error *error) {
  static const char *const endings[] = {".csv", ".schema.json", ".near.csv",
                                        ".near.schema.json"};
  char path[BV_PATH_SIZE];
  bv_status status = path_of(t, endings[0], path, error);
  if (status == BV_OK && result->front.rows > 0)
    return bv_front_write(&result->front, &result->near, path, error);
  for (size_t i = 0; i < 4 && status == BV_OK; i++) {
    status = path_of(t, endings[i], path, error);
    if (status == BV_OK)
      unlink(path);
  }
  return status;
}

static bv_status write_report(const task *t, const char *text, size_t length,
                              bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_status status = path_of(t, ".report", path, error);
  if (status == BV_OK && length > 0)
    return bv_file_replace(path, text, length, error);
  if (status == BV_OK)
    unlink(path);
  return status;
}

/* The entry comes last: a case without it is searched again. */
static bv_status note(const task *t, const bv_entry *entry, bv_error *error) {
  bv_sweep_state *sweep = t->sweep;
  bv_buffer line = {0};
  bv_entry_print(entry, &line);
  if (line.failed)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  bv_journal_append(&sweep->entries, line.text, line.length);
  bv_buffer_free(&line);
  bv_status status = bv_journal_sync(&sweep->entries, error);
  if (status != BV_OK)
    return status;
  sweep->meter.synced = bv_clock();
  sweep->meter.evaluated += entry->evaluations - sweep->meter.recalled;
  sweep->designs += entry->rows > 0;
  if (bv_case_is_final(entry->status)) {
    sweep->settled[t->number] = true;
    sweep->meter.settled++;
    unlink(t->path);
  }
  return BV_OK;
}

static bv_status hand_over(const task *t, const bv_entry *entry,
                           const bv_drive_result *result, const char *report,
                           size_t length, bv_error *error) {
  bv_status status = bv_lock_check(&t->sweep->lock, error);
  if (status == BV_OK && entry->status == BV_CASE_INTERRUPTED)
    status = bv_diary_sync(t->diary, error);
  if (status == BV_OK)
    status = write_front(t, result, error);
  if (status == BV_OK)
    status = write_report(t, report, length, error);
  return status == BV_OK ? note(t, entry, error) : status;
}

/* A case whose script can't be evaluated fails, the others go on. */
static bv_status fail_case(const task *t, const bv_error *cause,
                           bv_error *error) {
  bv_drive_result none = {0};
  bv_entry entry = {.number = t->number,
                    .status = BV_CASE_FAILED,
                    .hypervolume = (double) NAN};
  note_reason(cause->text, &entry);
  return hand_over(t, &entry, &none, cause->text, strlen(cause->text), error);
}

static bv_status search(task *t, bv_error *error) {
  bv_sweep_state *sweep = t->sweep;
  bv_drive_options options = sweep->options->drive;
  bv_drive_result result;
  bv_error cause;
  options.keeper = &t->keeper;
  options.watch = watch;
  options.watch_context = t;
  bv_study_choose_case(sweep->study, t->number);
  bv_status status = bv_drive(sweep->study, &options, &result, &cause);
  if (status == BV_BAD_DATA)
    return fail_case(t, &cause, error);
  if (status != BV_OK && status != BV_NO_DESIGN && status != BV_INTERRUPTED &&
      status != BV_TERMINATED) {
    *error = cause;
    return status;
  }
  bv_entry entry = entry_of(t, status, &result);
  bv_status noted = hand_over(t, &entry, &result, result.report.text,
                              result.report.length, error);
  bv_drive_free(&result);
  if (noted != BV_OK)
    return noted;
  return status == BV_NO_DESIGN ? BV_OK : status;
}

bv_status bv_sweep_case(bv_sweep_state *sweep, size_t number, bv_error *error) {
  task t = {.sweep = sweep,
            .number = number,
            .name = bv_study_case_name(sweep->study, number)};
  t.keeper = (bv_keeper){recall, keep, &t};
  sweep->meter.recalled = 0;
  bv_status status = open_diary(&t, error);
  if (status == BV_OK)
    status = search(&t, error);
  bv_diary_close(t.diary);
  return status;
}
