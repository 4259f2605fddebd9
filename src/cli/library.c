/* SPDX-License-Identifier: MIT */
#include "cli/library.h"

#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Places seen from the folder of the program: build/, build/NAME/, installed.
 */
static const char *const places[] = {"../lib", "../../lib",
                                     "../share/brimvolt/lib"};

static bool holds_library(const char *folder) {
  char inside[PATH_MAX];
  struct stat about;
  int used = snprintf(inside, sizeof inside, "%s/brimvolt", folder);
  return used > 0 && (size_t) used < sizeof inside &&
         stat(inside, &about) == 0 && S_ISDIR(about.st_mode);
}

static bool program_folder(char *folder, size_t size) {
  ssize_t length = readlink("/proc/self/exe", folder, size - 1);
  if (length <= 0)
    return false;
  folder[length] = '\0';
  char *slash = strrchr(folder, '/');
  if (slash)
    *slash = '\0';
  return slash != NULL;
}

bv_status bv_library_find(char *path, size_t size, bv_error *error) {
  const char *wanted = getenv("BRIMVOLT_LIB");
  char folder[PATH_MAX];
  if (wanted && *wanted) {
    snprintf(path, size, "%s", wanted);
    if (holds_library(path))
      return BV_OK;
    return bv_fail(error, BV_NO_INPUT,
                   "BRIMVOLT_LIB: expected a folder with brimvolt/ in it, "
                   "found '%s'",
                   wanted);
  }
  bool known = program_folder(folder, sizeof folder);
  for (size_t i = 0; known && i < sizeof places / sizeof *places; i++) {
    snprintf(path, size, "%s/%s", folder, places[i]);
    if (holds_library(path))
      return BV_OK;
  }
  return bv_fail(error, BV_NO_INPUT,
                 "cannot find the library beside the program; set "
                 "BRIMVOLT_LIB to its folder lib/");
}
