/* SPDX-License-Identifier: MIT */
/* A folder of a test's own, with files in it. */
#ifndef BV_TESTS_TEMPORARY_H
#define BV_TESTS_TEMPORARY_H

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Makes an empty folder and returns its path; temporary_remove deletes it with
 * the files in it. */
static inline char *temporary_make(void) {
  static char folder[64];
  snprintf(folder, sizeof folder, "/tmp/brimvolt-test-XXXXXX");
  ck_assert_ptr_nonnull(mkdtemp(folder));
  return folder;
}

static inline void temporary_remove(const char *folder) {
  char command[128];
  snprintf(command, sizeof command, "rm -rf '%s'", folder);
  ck_assert_int_eq(system(command), 0);
}

/* The path of a file in the folder; freed by the caller. */
static inline char *temporary_path(const char *folder, const char *name) {
  char *path;
  ck_assert_int_ge(asprintf(&path, "%s/%s", folder, name), 0);
  return path;
}

/* Writes a file in the folder and returns its path; freed by the caller. */
static inline char *temporary_write(const char *folder, const char *name,
                                    const void *bytes, size_t length) {
  char *path = temporary_path(folder, name);
  FILE *file = fopen(path, "wb");
  ck_assert_ptr_nonnull(file);
  ck_assert_uint_eq(fwrite(bytes, 1, length, file), length);
  ck_assert_int_eq(fclose(file), 0);
  return path;
}

#endif
