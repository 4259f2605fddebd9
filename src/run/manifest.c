/* SPDX-License-Identifier: MIT */
#include "run/manifest.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "run/journal.h"

bv_status bv_path_print(char *path, bv_error *error, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  int used = vsnprintf(path, BV_PATH_SIZE, format, arguments);
  va_end(arguments);
  if (used >= 0 && used < BV_PATH_SIZE)
    return BV_OK;
  return bv_fail(error, BV_CANNOT_CREATE, "%.100s…: path too long", path);
}

bv_status bv_path_of_slice(char *path, const char *folder, size_t slice,
                           size_t slices, const char *kind, bv_error *error) {
  return bv_path_print(path, error, "%s/slices/%zu-of-%zu.%s", folder, slice,
                       slices, kind);
}

/* Lines */

static bool has_key(const char *line, const char *key) {
  size_t length = strlen(key);
  return line && strncmp(line, key, length) == 0 && line[length] == ' ';
}

static void keep(bv_manifest *manifest, char *line) {
  if (manifest->count == manifest->room) {
    size_t room = manifest->room ? 2 * manifest->room : 64;
    char **lines = realloc(manifest->lines, room * sizeof *lines);
    manifest->failed += lines == NULL;
    if (lines) {
      manifest->lines = lines;
      manifest->room = room;
    }
  }
  manifest->failed += line == NULL;
  if (manifest->failed) {
    free(line);
    return;
  }
  if (manifest->first_case == manifest->count && !has_key(line, "case"))
    manifest->first_case++;
  manifest->lines[manifest->count++] = line;
}

void bv_manifest_add(bv_manifest *manifest, const char *key, const char *format,
                     ...) {
  bv_buffer line = {0};
  char *value = NULL;
  va_list arguments;
  va_start(arguments, format);
  if (vasprintf(&value, format, arguments) < 0)
    value = NULL;
  va_end(arguments);
  bv_buffer_print(&line, "%s %s", key, value ? value : "");
  /* A line is a line: what a title or an argument holds can't end it. */
  for (char *c = line.text; !line.failed && *c; c++)
    if (*c == '\n')
      *c = ' ';
  keep(manifest, value && !line.failed ? strdup(line.text) : NULL);
  bv_buffer_free(&line);
  free(value);
}

void bv_manifest_free(bv_manifest *manifest) {
  for (size_t i = 0; i < manifest->count; i++)
    free(manifest->lines[i]);
  free(manifest->lines);
  *manifest = (bv_manifest){0};
}

const char *bv_manifest_value(const bv_manifest *manifest, const char *key) {
  for (size_t i = 0; i < manifest->first_case; i++)
    if (has_key(manifest->lines[i], key))
      return manifest->lines[i] + strlen(key) + 1;
  return "";
}

size_t bv_manifest_cases(const bv_manifest *manifest) {
  return manifest->count - manifest->first_case;
}

const char *bv_manifest_case(const bv_manifest *manifest, size_t index) {
  return manifest->lines[manifest->first_case + index] + strlen("case ");
}

size_t bv_manifest_slices(const bv_manifest *manifest) {
  unsigned long slices =
      strtoul(bv_manifest_value(manifest, "slices"), NULL, 10);
  return slices > 0 ? slices : 1;
}

size_t bv_slice_cases(size_t cases, size_t slice, size_t slices) {
  return cases <= slice ? 0 : (cases - slice - 1) / slices + 1;
}

/* Files */

/* A name that is a file's own, in no other folder. */
static bool is_name(const char *name) {
  return *name && *name != '.' && !strchr(name, '/');
}

/* There is a case, and behind the first one there are cases alone. */
static bool is_sound(const bv_manifest *manifest) {
  if (manifest->first_case >= manifest->count)
    return false;
  for (size_t i = manifest->first_case; i < manifest->count; i++)
    if (!has_key(manifest->lines[i], "case") ||
        !is_name(manifest->lines[i] + strlen("case ")))
      return false;
  return bv_manifest_slices(manifest) <= BV_SLICES_MOST;
}

static bv_status take_line(void *context, const char *text, bv_error *error) {
  bv_manifest *manifest = context;
  keep(manifest, strdup(text));
  return manifest->failed ? bv_fail(error, BV_INTERNAL, "out of memory")
                          : BV_OK;
}

bv_status bv_manifest_read(const char *folder, bv_manifest *manifest,
                           bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_journal_end end;
  *manifest = (bv_manifest){0};
  if (bv_path_print(path, error, "%s/manifest", folder) != BV_OK)
    return BV_CANNOT_CREATE;
  if (access(path, F_OK) != 0)
    return bv_fail(error, BV_NO_INPUT,
                   "%s: expected the folder of a sweep, found no manifest in "
                   "it",
                   folder);
  bv_status status = bv_journal_read(path, take_line, manifest, &end, error);
  bool whole = manifest->count > 0 &&
               strcmp(manifest->lines[manifest->count - 1], "end") == 0;
  if (whole)
    free(manifest->lines[--manifest->count]);
  if (status == BV_OK && !(whole && is_sound(manifest)))
    status = bv_fail(error, BV_BAD_DATA, "%s: the manifest is damaged", path);
  if (status != BV_OK)
    bv_manifest_free(manifest);
  return status;
}

bv_status bv_manifest_write(const char *folder, const bv_manifest *manifest,
                            bv_error *error) {
  char path[BV_PATH_SIZE];
  bv_journal journal = {.descriptor = -1};
  if (manifest->failed)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  bv_status status = bv_path_print(path, error, "%s/manifest", folder);
  if (status == BV_OK)
    status = bv_journal_begin(&journal, path, error);
  for (size_t i = 0; i < manifest->count && status == BV_OK; i++)
    bv_journal_append(&journal, manifest->lines[i], strlen(manifest->lines[i]));
  if (status == BV_OK)
    bv_journal_append(&journal, "end", strlen("end"));
  if (status == BV_OK && journal.waiting.failed)
    status = bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  /* Replaced in one step: other slices read it while it is made. */
  if (status == BV_OK)
    status = bv_file_replace(path, journal.waiting.text, journal.waiting.length,
                             error);
  bv_journal_close(&journal);
  return status;
}

/* What a line says after a key of so many letters. */
static const char *said(const char *line, size_t key) {
  if (!line)
    return "nothing";
  return key < strlen(line) ? line + key + 1 : "";
}

/* The key of the line that another line doesn't equal. */
static bv_status differ(const char *there, const char *here, bv_error *error) {
  const char *known = there ? there : here ? here : "";
  size_t key = strcspn(known, " ");
  bool same_key = there && here && strncmp(there, here, key + 1) == 0;
  bool is_digest = same_key && strncmp(known, "study ", key + 1) == 0;
  return bv_fail(error, BV_BAD_DATA,
                 "the sweep in this folder is another one: %.*s: '%.100s' "
                 "there, '%.100s' now%s",
                 (int) key, known, said(there, key),
                 here && !same_key ? here : said(here, key),
                 is_digest ? " (the script or a file it reads was changed)"
                           : "");
}

bv_status bv_manifest_compare(const bv_manifest *there, const bv_manifest *here,
                              bv_error *error) {
  size_t most = there->count > here->count ? there->count : here->count;
  for (size_t i = 0; i < most; i++) {
    const char *a = i < there->count ? there->lines[i] : NULL;
    const char *b = i < here->count ? here->lines[i] : NULL;
    if (!a || !b || strcmp(a, b) != 0)
      return differ(a, b, error);
  }
  return BV_OK;
}
