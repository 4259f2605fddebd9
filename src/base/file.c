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
void bv_folder_sync_of(const char *path) {
  char folder[PATH_MAX];
  snprintf(folder, sizeof folder, "%s", path);
  char *slash = strrchr(folder, '/');
  if (slash)
    slash[slash == folder ? 1 : 0] = '\0';
  int descriptor =
      open(slash ? folder : ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor >= 0) {
    (void) fsync(descriptor);
    close(descriptor);
  }
}

/* The mode of the file that is replaced, or that of any new file. */
static mode_t mode_of(const char *path) {
  struct stat about;
  if (stat(path, &about) == 0)
    return about.st_mode & 07777;
  mode_t mask = umask(0);
  umask(mask);
  return 0666 & ~mask;
}

/* The file itself where path is a link to it: the link stays. NULL with errno.
 */
static char *resolve(const char *path) {
  struct stat about;
  bool is_link = lstat(path, &about) == 0 && S_ISLNK(about.st_mode);
  return is_link ? realpath(path, NULL) : strdup(path);
}

/* Fills the temporary file; it is whole and on the disk, or it is gone. */
static bv_status fill(bv_staged *staged, int descriptor, const char *bytes,
                      size_t length, bv_error *error) {
  const char *path = staged->path;
  bv_status status = write_all(descriptor, path, bytes, length, error);
  if (status == BV_OK &&
      (fchmod(descriptor, mode_of(path)) || fsync(descriptor)))
    status = bv_fail(error, BV_CANNOT_WRITE, "%s: %s", path, strerror(errno));
  if (close(descriptor) != 0 && status == BV_OK)
    status = bv_fail(error, BV_CANNOT_WRITE, "%s: %s", path, strerror(errno));
  if (status != BV_OK)
    bv_file_discard(staged);
  return status;
}

/* A rename would put a file in the place of a device. */
static bv_status check_place(const char *path, bv_error *error) {
  struct stat about;
  if (stat(path, &about) != 0 || S_ISREG(about.st_mode))
    return BV_OK;
  return bv_fail(error, BV_CANNOT_CREATE, "%s: expected a file, found %s", path,
                 S_ISDIR(about.st_mode) ? "a folder" : "something else");
}

/* What a staged file's name adds; the X are letters of mkostemps. */
#define STAGED ".XXXXXX.part"
enum { ADDED = sizeof STAGED - 1, LAST = sizeof ".part" - 1 };

size_t bv_file_staged(const char *name) {
  size_t length = strlen(name);
  const char *added = name + length - ADDED;
  bool staged = length > ADDED && added[0] == '.' &&
                strcmp(name + length - LAST, &STAGED[ADDED - LAST]) == 0;
  return staged ? length - ADDED : 0;
}

bv_status bv_file_stage(const char *path, const char *bytes, size_t length,
                        bv_staged *staged, bv_error *error) {
  *staged = (bv_staged){0};
  if (check_place(path, error) != BV_OK)
    return BV_CANNOT_CREATE;
  char *target = resolve(path), *temporary = NULL;
  if (!target)
    return bv_fail(error, BV_CANNOT_CREATE, "%s: %s", path, strerror(errno));
  if (asprintf(&temporary, "%s" STAGED, target) < 0) {
    free(target);
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  }
  int descriptor = mkostemps(temporary, LAST, O_CLOEXEC);
  if (descriptor >= 0) {
    *staged = (bv_staged){.temporary = temporary, .path = target};
    return fill(staged, descriptor, bytes, length, error);
  }
  bv_fail(error, BV_CANNOT_CREATE, "%s: %s", path, strerror(errno));
  free(temporary);
  free(target);
  return BV_CANNOT_CREATE;
}

void bv_file_discard(bv_staged *staged) {
  if (staged->temporary)
    unlink(staged->temporary);
  free(staged->temporary);
  free(staged->path);
  *staged = (bv_staged){0};
}

bv_status bv_file_commit(bv_staged *staged, bv_error *error) {
  bv_status status = BV_OK;
  if (rename(staged->temporary, staged->path) == 0) {
    bv_folder_sync_of(staged->path);
    free(staged->temporary);
    staged->temporary = NULL;
  } else {
    status = bv_fail(error, BV_CANNOT_CREATE, "%s: %s", staged->path,
                     strerror(errno));
  }
  bv_file_discard(staged);
  return status;
}

bv_status bv_file_replace(const char *path, const char *bytes, size_t length,
                          bv_error *error) {
  bv_staged staged;
  bv_status status = bv_file_stage(path, bytes, length, &staged, error);
  return status == BV_OK ? bv_file_commit(&staged, error) : status;
}

bv_status bv_folder_make(const char *path, bv_error *error) {
  char partial[PATH_MAX];
  if (!*path)
    return bv_fail(error, BV_CANNOT_CREATE,
                   "expected the name of a folder, found nothing");
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
