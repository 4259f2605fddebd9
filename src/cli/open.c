/* SPDX-License-Identifier: MIT */
#include "cli/open.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

#include "cli/library.h"
#include "run/deadline.h"
#include "run/known.h"

/* Steps are counted while a script is loaded, but for pattern searches. */
static bv_status load(const char *path, const bv_study_options *options,
                      bv_study **study, bv_error *error) {
  char text[PATH_MAX + 80];
  snprintf(text, sizeof text,
           "brimvolt: %s: stopped: loading takes too long (an endless pattern "
           "search?)\n",
           path);
  bv_deadline_begin(text);
  bv_status status = bv_study_open(path, options, study, error);
  bv_deadline_end();
  return status;
}

/* Steps are to catch a loop that time would catch as well, only sooner. */
static uint64_t steps_for(uint64_t usual, double point_seconds) {
  double more = point_seconds / BV_POINT_SECONDS;
  return more > 1 ? (uint64_t) ((double) usual * more) : usual;
}

bv_status bv_open_study(const bv_words *words, uint64_t seed,
                        double point_seconds, bv_study **study,
                        bv_error *error) {
  char library[PATH_MAX];
  *study = NULL;
  bv_status status = bv_library_find(library, sizeof library, error);
  if (status != BV_OK)
    return status;
  bv_study_options options = bv_study_defaults();
  options.library = library;
  options.seed = seed;
  options.point_steps_most = steps_for(options.point_steps_most, point_seconds);
  options.arguments = words->arguments;
  options.argument_count = words->argument_count;
  return load(words->words[0], &options, study, error);
}

static bv_status no_case(const bv_study *study, const char *name,
                         bv_error *error) {
  size_t count = bv_study_cases(study);
  bv_nearest nearest = bv_nearest_begin(name);
  for (size_t i = 0; i < count; i++)
    bv_nearest_offer(&nearest, bv_study_case_name(study, i));
  if (count == 0)
    return bv_fail(error, BV_USAGE, "no case \"%s\": %s has no cases", name,
                   bv_study_path(study));
  return bv_fail(error, BV_USAGE, "no case \"%s\" among the %zu of %s%s%s%s",
                 name, count, bv_study_path(study),
                 nearest.best ? "; did you mean \"" : "",
                 nearest.best ? nearest.best : "", nearest.best ? "\"?" : "");
}

bv_status bv_open_case(bv_study *study, const char *name, bool quiet,
                       bv_error *error) {
  size_t count = bv_study_cases(study), i = 0;
  if (!name && count > 0 && !quiet)
    fprintf(stderr, "case \"%s\", the first of %zu; --case NAME chooses\n",
            bv_study_case_name(study, 0), count);
  if (!name)
    return BV_OK;
  while (i < count && strcmp(bv_study_case_name(study, i), name) != 0)
    i++;
  if (i == count)
    return no_case(study, name, error);
  bv_study_choose_case(study, i);
  return BV_OK;
}

uint64_t bv_open_seed_of(const bv_front *front) {
  return front && front->origin.digest ? front->origin.seed
                                       : bv_study_defaults().seed;
}

const char *bv_open_case_of(const bv_front *front, size_t row) {
  size_t column = bv_front_find(front, "case");
  if (column < front->columns && front->column[column].is_text)
    return bv_front_value(front, row, column)->text;
  return front->origin.case_name;
}

bv_status bv_open_point(const bv_study *study, const bv_front *front,
                        const char *path, size_t row, double *x,
                        bv_error *error) {
  bv_places places = {0};
  bv_status status = bv_known_places(study, front, path, &places, error);
  if (status == BV_OK)
    status = bv_known_point(study, front, path, &places, row, x, error);
  return status == BV_USAGE ? BV_BAD_DATA : status;
}

bv_status bv_open_seeds(bv_study *study, const char *path, uint64_t evaluations,
                        bool quiet, char *digest, bv_error *error) {
  bv_seeds seeds;
  size_t starts;
  if (!path)
    return BV_OK;
  bv_status status = bv_seeds_add(study, path, &seeds, error);
  if (status == BV_OK && !quiet && seeds.notes.text)
    fputs(seeds.notes.text, stderr);
  bv_buffer_free(&seeds.notes);
  if (status != BV_OK)
    return status;
  snprintf(digest, BV_DIGEST_SIZE, "%s", seeds.digest);
  bv_study_starts(study, &starts);
  if (starts > evaluations)
    return bv_fail(error, BV_USAGE,
                   "--evaluations: expected at least %zu, one for each design "
                   "to begin with, found %llu",
                   starts, (unsigned long long) evaluations);
  return BV_OK;
}
