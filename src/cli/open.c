/* SPDX-License-Identifier: MIT */
#include "cli/open.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>

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

/* The value of a column as the file writes it. */
static const char *cell_text(const bv_front *front, size_t row, size_t column,
                             char *number) {
  const bv_value *value = bv_front_value(front, row, column);
  if (front->column[column].is_text)
    return value->text ? value->text : "";
  return bv_format_number(number, value->number);
}

/* Through the texts that a user would give. */
bv_status bv_open_point(const bv_study *study, const bv_front *front,
                        size_t row, double *x, bv_error *error) {
  bv_space space = bv_study_problem(study)->space;
  char *texts[BV_SPACE_MOST];
  size_t made = 0;
  bv_status status = BV_OK;
  for (; made < space.count && status == BV_OK; made++) {
    const char *name = space.variables[made].name;
    char number[BV_NUMBER_SIZE];
    size_t column = bv_front_find(front, name);
    texts[made] = NULL;
    if (column == front->columns)
      status = bv_fail(error, BV_BAD_DATA,
                       "the front has no column for the variable %s", name);
    else if (asprintf(&texts[made], "%s=%s", name,
                      cell_text(front, row, column, number)) < 0)
      status = bv_fail(error, BV_INTERNAL, "out of memory");
  }
  if (status == BV_OK)
    status = bv_study_parse_point(study, (const char *const *) texts, made, x,
                                  error);
  while (made-- > 0)
    free(texts[made]);
  return status;
}
