/* SPDX-License-Identifier: MIT */
#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bv_status read_all(int descriptor, const char *path, size_t most,
                          bv_buffer *buffer, bv_error *error) {
  char chunk[65536];
  bv_buffer_append(buffer, "", 0);
  for (;;) {
    ssize_t got = read(descriptor, chunk, sizeof chunk);
    if (got < 0 && errno == EINTR)
      continue;
    if (got < 0)
      return bv_fail(error, BV_NO_INPUT, "%s: %s", path, strerror(errno));
    if (got == 0)
      break;
    if (buffer->length + (size_t) got > most)
      return bv_fail(error, BV_BAD_DATA,
                     "%s: expected at most %zu bytes, found more", path, most);
    bv_buffer_append(buffer, chunk, (size_t) got);
  }
  if (buffer->failed)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  return BV_OK;
}

bv_status bv_file_read(const char *path, size_t most, bv_buffer *buffer,
                       bv_error *error) {
  *buffer = (bv_buffer){0};
  if (strcmp(path, "-") == 0)
    return read_all(STDIN_FILENO, "standard input", most, buffer, error);
  /* O_NONBLOCK: opening a pipe without a writer must not hang. */
  int descriptor = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (descriptor < 0)
    return bv_fail(error, BV_NO_INPUT, "%s: %s", path, strerror(errno));
  struct stat about;
  bv_status status = BV_OK;
  if (fstat(descriptor, &about) != 0 || !S_ISREG(about.st_mode))
    status = bv_fail(error, BV_NO_INPUT, "%s: expected a file, found %s", path,
                     S_ISDIR(about.st_mode) ? "a folder" : "something else");
  else
    status = read_all(descriptor, path, most, buffer, error);
  close(descriptor);
  if (status != BV_OK)
    bv_buffer_free(buffer);
  return status;
}

static bv_status write_all(int descriptor, const char *path, const char *bytes,
                           size_t length, bv_error *error) {
  while (length > 0) {
    ssize_t put = write(descriptor, bytes, length);
    if (put < 0 && errno == EINTR)
      continue;
    if (put < 0)
      return bv_fail(error, BV_CANNOT_WRITE, "%s: %s", path, strerror(errno));
    bytes += put;
    length -= (size_t) put;
  }
  return BV_OK;
}

/* A rename lasts only once its folder is on the disk too. */
static void sync_folder_of(const char *path) {
  char folder[PATH_MAX];
  snprintf(folder, sizeof folder, "%s", path);
  char *slash = strrchr(folder, '/');
  if (slash)
    slash[slash == folder ? 1 : 0] = '\0';
  int descriptor = open(slash ? folder : ".", O_RDONLY | O_DIRECTORY);
  if (descriptor >= 0) {
    (void) fsync(descriptor);
    close(descriptor);
  }
}

static bv_status replace_by(const char *temporary, int descriptor,
                            const char *path, const char *bytes, size_t length,
                            bv_error *error) {
  bv_status status = write_all(descriptor, path, bytes, length, error);
  if (status == BV_OK && (fchmod(descriptor, 0644) || fsync(descriptor)))
    status = bv_fail(error, BV_CANNOT_WRITE, "%s: %s", path, strerror(errno));
  if (close(descriptor) != 0 && status == BV_OK)
    status = bv_fail(error, BV_CANNOT_WRITE, "%s: %s", path, strerror(errno));
  if (status == BV_OK && rename(temporary, path) != 0)
    status = bv_fail(error, BV_CANNOT_CREATE, "%s: %s", path, strerror(errno));
  if (status != BV_OK)
    unlink(temporary);
  else
    sync_folder_of(path);
  return status;
}

bv_status bv_file_replace(const char *path, const char *bytes, size_t length,
                          bv_error *error) {
  if (strcmp(path, "-") == 0)
    return write_all(STDOUT_FILENO, "standard output", bytes, length, error);
  char temporary[PATH_MAX];
  int used = snprintf(temporary, sizeof temporary, "%s.XXXXXX", path);
  if (used < 0 || (size_t) used >= sizeof temporary)
    return bv_fail(error, BV_CANNOT_CREATE, "%s: path too long", path);
  int descriptor = mkstemp(temporary);
  if (descriptor < 0)
    return bv_fail(error, BV_CANNOT_CREATE, "%s: %s", path, strerror(errno));
  return replace_by(temporary, descriptor, path, bytes, length, error);
}

bv_status bv_folder_make(const char *path, bv_error *error) {
  char partial[PATH_MAX];
  int used = snprintf(partial, sizeof partial, "%s", path);
  if (used < 0 || (size_t) used >= sizeof partial)
    return bv_fail(error, BV_CANNOT_CREATE, "%s: path too long", path);
  for (char *slash = partial + 1;; slash++) {
    if (*slash != '/' && *slash != '\0')
      continue;
    char kept = *slash;
    *slash = '\0';
    if (mkdir(partial, 0777) != 0 && errno != EEXIST)
      return bv_fail(error, BV_CANNOT_CREATE, "%s: %s", partial,
                     strerror(errno));
    *slash = kept;
    if (kept == '\0')
      return BV_OK;
  }
}
