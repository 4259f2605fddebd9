/* SPDX-License-Identifier: MIT */
/* brimvolt init: a folder with a first study and what editors need. */
#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cJSON.h>

#include "base/file.h"
#include "cli/command.h"
#include "cli/library.h"
#include "cli/out.h"

enum { TEMPLATE_MOST = 1 << 16 };

/* Makes the text of a file from its template; library is the folder lib/. */
typedef bv_status (*fill)(bv_buffer *text, const char *library,
                          bv_error *error);

static bv_status leave_as_is(bv_buffer *text, const char *library,
                             bv_error *error) {
  (void) text;
  (void) library;
  (void) error;
  return BV_OK;
}

/* Tells the language server where the definitions of this installation are. */
static bv_status add_definitions(bv_buffer *text, const char *library,
                                 bv_error *error) {
  char folder[PATH_MAX + 16];
  snprintf(folder, sizeof folder, "%s/definitions", library);
  cJSON *settings = cJSON_Parse(text->text);
  cJSON *list = cJSON_AddArrayToObject(settings, "workspace.library");
  cJSON_AddItemToArray(list, cJSON_CreateString(folder));
  char *printed = list ? cJSON_Print(settings) : NULL;
  cJSON_Delete(settings);
  if (!printed)
    return bv_fail(error, BV_INTERNAL, "lib/first/luarc.json is no JSON");
  bv_buffer_free(text);
  bv_buffer_print(text, "%s\n", printed);
  free(printed);
  return BV_OK;
}

static const struct {
  const char *from, *to;
  fill fill;
} files[] = {{"study.lua", "study.lua", leave_as_is},
             {"luacheckrc", ".luacheckrc", leave_as_is},
             {"luarc.json", ".luarc.json", add_definitions}};

enum { FILES = sizeof files / sizeof *files };

static bv_status refuse_existing(const char *folder, bv_error *error) {
  for (int i = 0; i < FILES; i++) {
    char path[PATH_MAX];
    int used = snprintf(path, sizeof path, "%s/%s", folder, files[i].to);
    if (used < 0 || (size_t) used >= sizeof path)
      return bv_fail(error, BV_CANNOT_CREATE, "%s: path too long", folder);
    if (access(path, F_OK) == 0)
      return bv_fail(error, BV_CANNOT_CREATE,
                     "%s exists already; nothing was written", path);
  }
  return BV_OK;
}

static bv_status make_file(const char *library, const char *folder, int i,
                           bv_error *error) {
  char from[PATH_MAX + 32], to[PATH_MAX];
  bv_buffer text;
  snprintf(from, sizeof from, "%s/first/%s", library, files[i].from);
  snprintf(to, sizeof to, "%s/%s", folder, files[i].to);
  bv_status status = bv_file_read(from, TEMPLATE_MOST, &text, error);
  if (status != BV_OK)
    return status;
  status = files[i].fill(&text, library, error);
  if (status == BV_OK)
    status = bv_file_replace(to, text.text, text.length, error);
  bv_buffer_free(&text);
  return status;
}

static bv_status make_files(const char *folder, bv_error *error) {
  char found[PATH_MAX], library[PATH_MAX];
  bv_status status = bv_library_find(found, sizeof found, error);
  if (status == BV_OK && !realpath(found, library))
    status = bv_fail(error, BV_NO_INPUT, "%s: %s", found, strerror(errno));
  if (status == BV_OK)
    status = bv_folder_make(folder, error);
  for (int i = 0; status == BV_OK && i < FILES; i++)
    status = make_file(library, folder, i, error);
  return status;
}

static bv_status run(const void *options, const bv_words *words,
                     bv_error *error) {
  (void) options;
  const char *folder = words->words[0];
  bv_status status = refuse_existing(folder, error);
  if (status == BV_OK)
    status = make_files(folder, error);
  if (status == BV_OK)
    fprintf(stderr,
            "%s/study.lua is a first study, with settings for luacheck and a "
            "language server.\nNext: brimvolt check %s/study.lua\n",
            folder, folder);
  return status;
}

static const bv_option no_options[] = {
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};

static void set_defaults(void *options) {
  (void) options;
}

const bv_command bv_init_command = {
    .name = "init",
    .takes = "DIR",
    .summary = "make a folder with a first study to start from",
    .example = "brimvolt init studies",
    .least = 1,
    .most = 1,
    .options = no_options,
    .size = 1,
    .defaults = set_defaults,
    .run = run};
