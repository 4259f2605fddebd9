/* SPDX-License-Identifier: MIT */
/* brimvolt merge: one front of many. */
#include "run/merge.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/out.h"
#include "run/collect.h"

typedef struct merge_options {
  const char *output;
} merge_options;

static const bv_option options_of_merge[] = {
    {"output", "FRONT.csv", "where the front goes; left out: DIR/front.csv",
     BV_OPTION_TEXT, offsetof(merge_options, output), 0, 0, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};

static void set_defaults(void *options) {
  *(merge_options *) options = (merge_options){0};
}

static bool is_folder(const char *path) {
  struct stat about;
  return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

/* A front that doesn't say of which cases it is, is a case itself. */
static void name_case(const char *path, char *name, size_t size) {
  const char *slash = strrchr(path, '/');
  snprintf(name, size, "%s", slash ? slash + 1 : path);
  size_t length = strlen(name);
  if (length > 4 && strcmp(name + length - 4, ".csv") == 0)
    name[length - 4] = '\0';
}

static bv_status add_front(bv_merge *merge, const char *path, bv_error *error) {
  char name[256];
  bv_front front;
  bv_status status = bv_front_read(path, &front, error);
  if (status != BV_OK)
    return status;
  name_case(path, name, sizeof name);
  status = bv_merge_add(merge, &front, path, name, error);
  bv_front_free(&front);
  return status;
}

/* A folder that may only be read can still be merged elsewhere. */
static bv_status collect(bv_merge *merge, const char *path, bool elsewhere,
                         bv_collected *collected, bv_error *error) {
  bv_status status = bv_collect_into(merge, path, collected, error);
  if (!elsewhere || (status != BV_CANNOT_CREATE && status != BV_CANNOT_WRITE))
    return status;
  fprintf(stderr, "%s; the folder gets no index\n", error->text);
  return BV_OK;
}

static bv_status add(bv_merge *merge, const char *path, bool elsewhere,
                     bv_collected *collected, bv_error *error) {
  if (!is_folder(path))
    return add_front(merge, path, error);
  bv_status status = collect(merge, path, elsewhere, collected, error);
  size_t missing = status == BV_OK ? collected->missing : 0;
  if (missing > 0)
    fprintf(stderr,
            "%s: %zu cases are missing; 'brimvolt status %s' tells which "
            "slices\n",
            path, missing, path);
  return status;
}

static bv_status write_front(const bv_front *front, const char *path,
                             bv_error *error) {
  if (front->rows == 0)
    return bv_fail(error, BV_NO_DESIGN,
                   "no design to merge, nothing is "
                   "written");
  return bv_out_put_front(path, front, NULL, error);
}

static bv_status choose_output(const merge_options *options,
                               const bv_words *words, char *path,
                               bv_error *error) {
  if (options->output)
    return bv_path_print(path, error, "%s", options->output);
  if (words->count == 1 && is_folder(words->words[0]))
    return bv_path_print(path, error, "%s/front.csv", words->words[0]);
  if (words->count == 1 && access(words->words[0], F_OK) != 0)
    return bv_fail(error, BV_NO_INPUT, "%s: %s", words->words[0],
                   strerror(errno));
  return bv_fail(error, BV_USAGE, "merge: expected --output FRONT.csv");
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const merge_options *options = given;
  char path[BV_PATH_SIZE];
  bv_front front = {0};
  bv_collected collected = {0};
  bv_status status = choose_output(options, words, path, error);
  if (status == BV_OK)
    status = bv_out_check_front(path, false, error);
  if (status != BV_OK)
    return status;
  bv_merge *merge = bv_merge_new();
  if (!merge)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  for (size_t i = 0; i < words->count && status == BV_OK; i++)
    status = add(merge, words->words[i], options->output, &collected, error);
  if (status == BV_OK)
    status = bv_merge_front(merge, &front, error);
  /* More than one source may have evaluations in common. */
  if (words->count == 1)
    front.origin.evaluations = collected.evaluations;
  if (status == BV_OK)
    status = write_front(&front, path, error);
  bv_front_free(&front);
  bv_merge_free(merge);
  return status;
}

const bv_command bv_merge_command = {
    .name = "merge",
    .takes = "DIR|FRONT.csv…",
    .summary = "one front of the slices of a sweep, or of fronts of one study\n"
               "Keeps the rows that no other dominates, each with its case and "
               "its row there. The\norder doesn't matter, nor does merging "
               "again. A folder gets its index.csv, too.",
    .example = "brimvolt merge night",
    .least = 1,
    .most = 4096,
    .options = options_of_merge,
    .size = sizeof(merge_options),
    .defaults = set_defaults,
    .run = run};
