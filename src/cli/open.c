/* SPDX-License-Identifier: MIT */
#include "cli/open.h"

#include <limits.h>
#include <stdio.h>

#include "cli/library.h"
#include "run/known.h"

bv_status bv_open_study(const bv_words *words, uint64_t seed, bv_study **study,
                        bv_error *error) {
  char library[PATH_MAX];
  *study = NULL;
  bv_status status = bv_library_find(library, sizeof library, error);
  if (status != BV_OK)
    return status;
  bv_study_options options = bv_study_defaults();
  options.library = library;
  options.seed = seed;
  options.arguments = words->arguments;
  options.argument_count = words->argument_count;
  return bv_study_open(words->words[0], &options, study, error);
}

bv_status bv_open_point(const bv_study *study, const bv_front *front,
                        const char *path, size_t row, double *x,
                        bv_error *error) {
  bv_places places;
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
