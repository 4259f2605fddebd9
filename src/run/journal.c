/* SPDX-License-Identifier: MIT */
#include "run/journal.h"

#include <errno.h>
#include <fcntl.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zlib.h>

#include "base/file.h"

/* "01234567 " before the text of a line. */
enum { CHECK_LENGTH = 8, HEAD_LENGTH = CHECK_LENGTH + 1 };

static uint32_t check_of(uint32_t before, const char *text, size_t length) {
  return (uint32_t) crc32_z(before, (const unsigned char *) text, length);
}

/* Reading */

/* The check written at the head of a line; false where there is none. */
static bool read_check(const char *line, size_t length, uint32_t *check) {
  if (length < HEAD_LENGTH || line[CHECK_LENGTH] != ' ' ||
      strspn(line, "0123456789abcdef") != CHECK_LENGTH)
    return false;
  *check = (uint32_t) strtoul(line, NULL, 16);
  return true;
}

/* True where a line, newline included, is whole and follows `before`; its check
 * and its text, newline taken off, are given. */
static bool is_good(char *line, size_t length, uint32_t before, uint32_t *check,
                    const char **text) {
  if (!read_check(line, length, check) || line[length - 1] != '\n')
    return false;
  size_t rest = length - HEAD_LENGTH - 1;
  *text = line + HEAD_LENGTH;
  line[length - 1] = '\0';
  return rest > 0 && strlen(*text) == rest &&
         check_of(before, *text, rest) == *check;
}

/* Goes on after the first bad line, to tell a torn end from a damaged middle:
 * true where a line follows that was written after what stands before it. */
static bool good_lines_follow(FILE *file, char **line, size_t *room,
                              size_t length) {
  uint32_t before, check;
  const char *text;
  bool known = read_check(*line, length, &before);
  for (ssize_t got; (got = getline(line, room, file)) > 0;) {
    if (known && is_good(*line, (size_t) got, before, &check, &text))
      return true;
    known = read_check(*line, (size_t) got, &before);
  }
  return false;
}

static bv_status read_lines(FILE *file, const char *path, bv_journal_take take,
                            void *context, bv_journal_end *end,
                            bv_error *error) {
  char *line = NULL;
  size_t room = 0;
  bv_status status = BV_OK;
  for (ssize_t length; (length = getline(&line, &room, file)) > 0;) {
    const char *text;
    uint32_t check;
    if (!is_good(line, (size_t) length, end->check, &check, &text)) {
      if (good_lines_follow(file, &line, &room, (size_t) length))
        status = bv_fail(error, BV_BAD_DATA,
                         "%s:%" PRIu64 ": this line of the journal is damaged",
                         path, end->lines + 1);
      break;
    }
    status = take(context, text, error);
    if (status != BV_OK)
      break;
    end->check = check;
    end->length += length;
    end->lines++;
  }
  if (status == BV_OK && ferror(file))
    status = bv_fail(error, BV_NO_INPUT, "%s: %s", path, strerror(errno));
  free(line);
  return status;
}

bv_status bv_journal_read(const char *path, bv_journal_take take, void *context,
                          bv_journal_end *end, bv_error *error) {
  *end = (bv_journal_end){0};
  FILE *file = fopen(path, "re");
  if (!file && errno == ENOENT)
    return BV_OK;
  if (!file)
    return bv_fail(error, BV_NO_INPUT, "%s: %s", path, strerror(errno));
  bv_status status = read_lines(file, path, take, context, end, error);
  fclose(file);
  return status;
}

/* Writing */

static bv_status cannot(const bv_journal *journal, bv_status status,
                        bv_error *error) {
  return bv_fail(error, status, "%s: %s", journal->path, strerror(errno));
}

bv_status bv_journal_begin(bv_journal *journal, const char *path,
                           bv_error *error) {
  *journal = (bv_journal){.path = strdup(path), .descriptor = -1};
  return journal->path ? BV_OK
                       : bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
}

bv_status bv_journal_go_on(bv_journal *journal, const char *path,
                           bv_journal_end end, bv_error *error) {
  bv_status status = bv_journal_begin(journal, path, error);
  if (status != BV_OK || end.lines == 0)
    return status;
  journal->check = end.check;
  journal->length = end.length;
  journal->descriptor = open(path, O_WRONLY | O_CLOEXEC);
  if (journal->descriptor < 0)
    status = cannot(journal, BV_CANNOT_CREATE, error);
  else if (ftruncate(journal->descriptor, end.length) != 0)
    status = cannot(journal, BV_CANNOT_WRITE, error);
  if (status != BV_OK)
    bv_journal_close(journal);
  return status;
}

void bv_journal_append(bv_journal *journal, const char *text, size_t length) {
  journal->check = check_of(journal->check, text, length);
  bv_buffer_print(&journal->waiting, "%08" PRIx32 " ", journal->check);
  bv_buffer_append(&journal->waiting, text, length);
  bv_buffer_append(&journal->waiting, "\n", 1);
}

/* Writes what waits; half a line may stand there where it can't. */
static bool write_waiting(bv_journal *journal) {
  const char *at = journal->waiting.text;
  off_t place = journal->length;
  for (size_t left = journal->waiting.length; left > 0;) {
    ssize_t put = pwrite(journal->descriptor, at, left, place);
    if (put < 0 && errno != EINTR)
      return false;
    size_t done = put > 0 ? (size_t) put : 0;
    at += done;
    left -= done;
    place += (off_t) done;
  }
  journal->length = place;
  journal->waiting.length = 0;
  return true;
}

/* The file appears when there is something to say. */
static bv_status appear(bv_journal *journal, bv_error *error) {
  if (journal->descriptor >= 0)
    return BV_OK;
  journal->descriptor =
      open(journal->path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (journal->descriptor < 0)
    return cannot(journal, BV_CANNOT_CREATE, error);
  bv_folder_sync_of(journal->path);
  return BV_OK;
}

bv_status bv_journal_write(bv_journal *journal, bv_error *error) {
  if (journal->waiting.failed)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", journal->path);
  if (journal->waiting.length == 0)
    return BV_OK;
  if (appear(journal, error) != BV_OK)
    return BV_CANNOT_CREATE;
  if (write_waiting(journal))
    return BV_OK;
  cannot(journal, BV_CANNOT_WRITE, error);
  (void) !ftruncate(journal->descriptor, journal->length);
  return BV_CANNOT_WRITE;
}

bv_status bv_journal_sync(bv_journal *journal, bv_error *error) {
  bv_status status = bv_journal_write(journal, error);
  if (status == BV_OK && journal->descriptor >= 0 &&
      fdatasync(journal->descriptor) != 0)
    status = cannot(journal, BV_CANNOT_WRITE, error);
  return status;
}

void bv_journal_close(bv_journal *journal) {
  if (journal->path && journal->descriptor >= 0)
    close(journal->descriptor);
  free(journal->path);
  bv_buffer_free(&journal->waiting);
  *journal = (bv_journal){.descriptor = -1};
}
