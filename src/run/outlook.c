/* SPDX-License-Identifier: MIT */
#include "run/outlook.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

#include "run/index.h"
#include "run/lock.h"

/* Looking */

typedef struct counting {
  bv_slice *slice;
  bv_case_status *latest; /* a case: its last entry */
} counting;

static bv_status take_entry(void *context, const bv_entry *entry,
                            bv_error *error) {
  counting *c = context;
  (void) error;
  bv_case_status *latest = &c->latest[entry->number];
  if (*latest != BV_CASE_MISSING) {
    c->slice->statuses[*latest]--;
    c->slice->settled -= bv_case_is_final(*latest);
  }
  *latest = entry->status;
  c->slice->statuses[entry->status]++;
  c->slice->settled += bv_case_is_final(entry->status);
  for (size_t i = 0; bv_case_is_final(entry->status) && i < BV_OUTCOME_COUNT;
       i++)
    c->slice->outcomes[i] += entry->outcomes[i];
  return BV_OK;
}

/* A line of a diary: its title tells the case, later ones how far it is. */
static bv_status take_diary_line(void *context, const char *text,
                                 bv_error *error) {
  bv_slice *slice = context;
  const char *named = strstr(text, ", case ");
  (void) error;
  if (strncmp(text, "progress ", 9) == 0)
    slice->known = bv_standing_read(text + 9, &slice->standing);
  else if (strncmp(text, "cell ", 5) != 0 && named && strchr(named + 7, ' '))
    snprintf(slice->under_way, sizeof slice->under_way, "%s",
             named + 7 + strcspn(named + 7, " ") + 1);
  return BV_OK;
}

static double age_of(const char *path) {
  struct stat about;
  struct timespec now;
  if (stat(path, &about) != 0 || clock_gettime(CLOCK_REALTIME, &now) != 0)
    return 0;
  double age = (double) (now.tv_sec - about.st_mtim.tv_sec) +
               1e-9 * (double) (now.tv_nsec - about.st_mtim.tv_nsec);
  return fmax(age, 0); /* a clock may have been set back */
}

static bv_status look_at_diary(const char *folder, const bv_outlook *outlook,
                               size_t i, bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_journal_end end;
  bv_status status =
      bv_path_of_slice(path, folder, i, outlook->slices, "diary", error);
  if (status == BV_OK)
    status =
        bv_journal_read(path, take_diary_line, &outlook->slice[i], &end, error);
  outlook->slice[i].age = age_of(path);
  return status;
}

static bv_slice_state state_of(const bv_slice *slice, bool held, bool begun) {
  if (slice->settled == slice->cases)
    return BV_SLICE_DONE;
  if (held)
    return BV_SLICE_RUNNING;
  return begun ? BV_SLICE_STOPPED : BV_SLICE_WAITING;
}

static void look_at_slice(const char *folder, const bv_outlook *outlook,
                          size_t i, bv_case_status *latest) {
  char path[BV_PATH_SIZE];
  bv_slice *slice = &outlook->slice[i];
  bv_error error = {0};
  bv_journal_end end;
  counting c = {slice, latest};
  slice->cases = bv_slice_cases(bv_manifest_cases(&outlook->manifest), i,
                                bv_manifest_slices(&outlook->manifest));
  bv_status status = bv_entries_read(folder, &outlook->manifest, i, take_entry,
                                     &c, &end, &error);
  bool begun = end.lines > 0;
  if (status == BV_OK)
    status = look_at_diary(folder, outlook, i, &error);
  if (status == BV_OK)
    status = bv_path_of_slice(path, folder, i, outlook->slices, "lock", &error);
  if (status == BV_OK) {
    bool held = bv_lock_is_held(path, slice->owner, sizeof slice->owner);
    slice->state = state_of(slice, held, begun);
    return;
  }
  slice->state = BV_SLICE_DAMAGED;
  snprintf(slice->trouble, sizeof slice->trouble, "%.250s", error.text);
}

bv_status bv_outlook_make(const char *folder, bv_outlook *outlook,
                          bv_error *error) {
  *outlook = (bv_outlook){0};
  bv_status status = bv_manifest_read(folder, &outlook->manifest, error);
  if (status != BV_OK)
    return status;
  outlook->slices = bv_manifest_slices(&outlook->manifest);
  outlook->slice = calloc(outlook->slices, sizeof *outlook->slice);
  bv_case_status *latest =
      calloc(bv_manifest_cases(&outlook->manifest) + 1, sizeof *latest);
  if (outlook->slice && latest)
    for (size_t i = 0; i < outlook->slices; i++)
      look_at_slice(folder, outlook, i, latest);
  else
    status = bv_fail(error, BV_INTERNAL, "out of memory");
  free(latest);
  if (status != BV_OK)
    bv_outlook_free(outlook);
  return status;
}

void bv_outlook_free(bv_outlook *outlook) {
  bv_manifest_free(&outlook->manifest);
  free(outlook->slice);
  *outlook = (bv_outlook){0};
}

/* Telling */

static const char *const state_words[] = {[BV_SLICE_WAITING] = "waiting",
                                          [BV_SLICE_STOPPED] = "stopped",
                                          [BV_SLICE_RUNNING] = "running",
                                          [BV_SLICE_DONE] = "done",
                                          [BV_SLICE_DAMAGED] = "damaged"};

static void tell_owner(const bv_slice *slice, bv_buffer *text) {
  char host[256];
  long process;
  if (sscanf(slice->owner, "%255s %*s %ld", host, &process) == 2)
    bv_buffer_print(text, ", process %ld on %s", process, host);
}

static void tell_slice(const bv_slice *slice, size_t i, size_t slices,
                       bv_buffer *text) {
  bv_buffer_print(text, "slice %zu/%zu: %s, %zu of %zu cases", i, slices,
                  state_words[slice->state], slice->settled, slice->cases);
  if (slice->statuses[BV_CASE_FAILED] > 0)
    bv_buffer_print(text, ", %zu failed", slice->statuses[BV_CASE_FAILED]);
  if (slice->state == BV_SLICE_RUNNING)
    tell_owner(slice, text);
  if (slice->state == BV_SLICE_DAMAGED)
    bv_buffer_print(text, ": %s", slice->trouble);
  bv_buffer_print(text, "\n");
  if (!*slice->under_way || slice->state == BV_SLICE_DONE)
    return;
  bv_buffer_print(text, "  %s: ", slice->under_way);
  if (slice->known) {
    bv_standing_tell(&slice->standing, text);
    bv_buffer_print(text, ", ");
  }
  bv_buffer_print(text, "checkpoint ");
  bv_seconds_tell(slice->age, text);
  bv_buffer_print(text, " ago\n");
}

static void tell_sum(const bv_outlook *outlook, bv_buffer *text) {
  size_t settled = 0, cases = bv_manifest_cases(&outlook->manifest);
  size_t statuses[BV_CASE_COUNT] = {0};
  uint64_t outcomes[BV_OUTCOME_COUNT] = {0};
  for (size_t i = 0; i < outlook->slices; i++) {
    const bv_slice *slice = &outlook->slice[i];
    settled += slice->settled;
    for (size_t j = 0; j < BV_CASE_COUNT; j++)
      statuses[j] += slice->statuses[j];
    for (size_t j = 0; j < BV_OUTCOME_COUNT; j++)
      outcomes[j] += slice->outcomes[j];
  }
  bv_buffer_print(text, "%zu of %zu cases", settled, cases);
  for (bv_case_status j = BV_CASE_DONE; j < BV_CASE_COUNT; j++)
    if (statuses[j] > 0)
      bv_buffer_print(text, ", %zu %s", statuses[j], bv_case_word(j));
  for (bv_outcome j = 1; j < BV_OUTCOME_COUNT; j++)
    if (outcomes[j] > 0)
      bv_buffer_print(text, "; %" PRIu64 " points failed: %s", outcomes[j],
                      bv_outcome_word(j));
  bv_buffer_print(text, "\n");
}

static bool is_missing(const bv_outlook *outlook, size_t i) {
  bv_slice_state state = outlook->slice[i].state;
  return i < outlook->slices && state != BV_SLICE_DONE &&
         state != BV_SLICE_RUNNING;
}

void bv_outlook_missing(const bv_outlook *outlook, bv_buffer *text) {
  const char *comma = "";
  for (size_t i = 0; i < outlook->slices; i++) {
    size_t first = i;
    if (!is_missing(outlook, i))
      continue;
    while (i + 1 < outlook->slices && is_missing(outlook, i + 1))
      i++;
    bv_buffer_print(text, i > first ? "%s%zu-%zu" : "%s%zu", comma, first, i);
    comma = ",";
  }
}

void bv_outlook_tell(const bv_outlook *outlook, bv_buffer *text) {
  bv_buffer missing = {0};
  for (size_t i = 0; i < outlook->slices; i++)
    tell_slice(&outlook->slice[i], i, outlook->slices, text);
  tell_sum(outlook, text);
  bv_outlook_missing(outlook, &missing);
  if (missing.length > 0)
    bv_buffer_print(text, "missing slices: %s\n", missing.text);
  bv_buffer_free(&missing);
}
