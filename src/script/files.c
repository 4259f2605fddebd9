/* SPDX-License-Identifier: MIT */
#include "script/files.h"

#include <lauxlib.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"

/* Longest file a digest takes in, bytes. */
#define DIGEST_MOST ((size_t) 256 << 20)

void bv_files_digest_text(bv_host *host, const bv_buffer *file) {
  uint64_t length = file->length;
  SHA256Update(&host->digest, (const uint8_t *) &length, sizeof length);
  SHA256Update(&host->digest, (const uint8_t *) file->text, file->length);
}

void bv_files_digest(lua_State *L, const char *path) {
  bv_buffer file = {0};
  bv_error error;
  if (bv_file_read(path, DIGEST_MOST, &file, &error) != BV_OK)
    luaL_error(L, "%s", error.text);
  bv_files_digest_text(bv_host_of(L), &file);
  bv_buffer_free(&file);
}

static bool inside(const char *path, const char *folder) {
  size_t length = strlen(folder);
  return strncmp(path, folder, length) == 0 &&
         (path[length] == '/' || strcmp(folder, "/") == 0);
}

const char *bv_files_push_path(lua_State *L, const char *name,
                               const char *what) {
  const char *folder = bv_host_of(L)->folder;
  char real[PATH_MAX];
  if (*name == '/' || strstr(name, ".."))
    luaL_error(L, "%s: expected a file beside the script, found \"%s\"", what,
               name);
  const char *path = lua_pushfstring(L, "%s/%s", folder, name);
  if (!realpath(path, real))
    luaL_error(L, "%s: no file \"%s\" beside the script", what, name);
  if (!inside(real, folder))
    luaL_error(L, "%s: \"%s\" leads out of the script's folder", what, name);
  lua_pop(L, 1);
  return lua_pushstring(L, real);
}
