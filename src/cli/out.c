/* SPDX-License-Identifier: MIT */
#include "cli/out.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"

void bv_out_prepare(void) {
  signal(SIGPIPE, SIG_IGN);
  signal(SIGXFSZ, SIG_IGN);
  /* Read-only, so that writing to a closed stream still fails. */
  int descriptor = open("/dev/null", O_RDONLY);
  while (descriptor >= 0 && descriptor <= STDERR_FILENO)
    descriptor = dup(descriptor);
  if (descriptor > STDERR_FILENO)
    close(descriptor);
}

bv_status bv_out_spare(const char *path, const char *input, bv_error *error) {
  struct stat there, here;
  if (!path || strcmp(path, "-") == 0 || strcmp(input, "-") == 0 ||
      stat(path, &there) != 0 || stat(input, &here) != 0 ||
      there.st_dev != here.st_dev || there.st_ino != here.st_ino)
    return BV_OK;
  return bv_fail(error, BV_USAGE,
                 "--output: expected another file than the input, found '%s'",
                 path);
}

bv_status bv_out_write(const bv_buffer *text, bv_error *error) {
  if (text->failed)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  size_t done = 0;
  while (done < text->length) {
    ssize_t put = write(STDOUT_FILENO, text->text + done, text->length - done);
    if (put >= 0)
      done += (size_t) put;
    else if (errno == EPIPE)
      return bv_fail(error, BV_CANNOT_WRITE, "%s", "");
    else if (errno != EINTR)
      return bv_fail(error, BV_CANNOT_WRITE, "standard output: %s",
                     strerror(errno));
  }
  return BV_OK;
}

bv_status bv_out_put(const char *path, const bv_buffer *text, bv_error *error) {
  if (!path || strcmp(path, "-") == 0)
    return bv_out_write(text, error);
  if (text->failed)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  return bv_file_replace(path, text->text, text->length, error);
}

bv_status bv_out_put_front(const char *path, const bv_front *front,
                           const bv_front *near, bv_error *error) {
  bv_buffer csv = {0};
  if (strcmp(path, "-") != 0)
    return bv_front_write(front, near, path, error);
  bv_front_print_csv(front, &csv);
  bv_status status = bv_out_write(&csv, error);
  bv_buffer_free(&csv);
  return status;
}

/* A new file in the folder for temporary ones; NULL: none can be made. */
static char *make_refuge(void) {
  const char *folder = getenv("TMPDIR");
  char *path = NULL;
  if (asprintf(&path, "%s/brimvolt-XXXXXX.csv",
               folder && *folder ? folder : "/tmp") < 0)
    return NULL;
  int descriptor = mkostemps(path, (int) strlen(".csv"), O_CLOEXEC);
  if (descriptor >= 0)
    close(descriptor);
  else
    free(path);
  return descriptor >= 0 ? path : NULL;
}

void bv_out_keep_front(const bv_front *front, const bv_front *near,
                       bv_error *error) {
  bv_error ignored;
  char *path = make_refuge();
  size_t used = strlen(error->text);
  if (path && bv_front_write(front, near, path, &ignored) == BV_OK)
    snprintf(error->text + used, sizeof error->text - used,
             "; the front is kept in %s", path);
  else if (path)
    unlink(path);
  free(path);
}

static bv_status check_file(const char *path, bv_error *error) {
  bv_staged staged;
  if (!path)
    return bv_fail(error, BV_INTERNAL, "out of memory");
  bv_status status = bv_file_stage(path, "", 0, &staged, error);
  if (status == BV_OK)
    bv_file_discard(&staged);
  return status;
}

bv_status bv_out_check_front(const char *path, bool has_near, bv_error *error) {
  char *files[] = {bv_front_schema_path(path), NULL, NULL};
  if (has_near) {
    files[1] = bv_front_near_path(path);
    files[2] = files[1] ? bv_front_schema_path(files[1]) : NULL;
  }
  bool to_file = strcmp(path, "-") != 0;
  bv_status status = to_file ? check_file(path, error) : BV_OK;
  for (size_t i = 0; to_file && status == BV_OK && i < (has_near ? 3 : 1); i++)
    status = check_file(files[i], error);
  for (size_t i = 0; i < sizeof files / sizeof *files; i++)
    free(files[i]);
  return status;
}

size_t bv_out_width(void) {
  struct winsize size;
  bool known = ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0;
  return known ? size.ws_col : 120;
}
