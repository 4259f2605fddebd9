/* SPDX-License-Identifier: MIT */
#include "cli/open.h"

#include <limits.h>

#include "cli/library.h"

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
