/* SPDX-License-Identifier: MIT */
/* Journals: append-only text files of checked lines, "CHECK TEXT". The check,
 * eight hexadecimal digits, is the CRC-32 (ISO 3309, as zlib has it) of the
 * text, begun with the check of the line before, so that a line lost, doubled
 * or moved is met as surely as one that is damaged. */
#ifndef BV_RUN_JOURNAL_H
#define BV_RUN_JOURNAL_H

#include <stdint.h>
#include <sys/types.h>

#include "base/status.h"
#include "base/text.h"

/* Where the good lines of a journal end. */
typedef struct bv_journal_end {
  off_t length;   /* bytes */
  uint64_t lines; /* how many */
  uint32_t check; /* of the last */
} bv_journal_end;

/* Takes one line's text; anything but BV_OK ends the reading. */
typedef bv_status (*bv_journal_take)(void *context, const char *text,
                                     bv_error *error);

/* Hands each good line to take. What is torn or damaged at the end, where a run
 * was cut, doesn't count. A file that isn't there has no lines. BV_BAD_DATA: a
 * line is damaged and good ones follow it (file and line told). BV_NO_INPUT:
 * the file can't be read. Else what take answers. */
bv_status bv_journal_read(const char *path, bv_journal_take take, void *context,
                          bv_journal_end *end, bv_error *error);

typedef struct bv_journal {
  char *path;        /* owned; NULL: closed */
  int descriptor;    /* -1: no file yet */
  off_t length;      /* bytes written */
  uint32_t check;    /* of the last line */
  bv_buffer waiting; /* lines not written yet */
} bv_journal;

/* Begins a new journal in the place of whatever is at path; the file appears
 * with the first write. BV_INTERNAL: out of memory. */
bv_status bv_journal_begin(bv_journal *journal, const char *path,
                           bv_error *error);

/* Goes on after the good lines; what follows them is cut off.
 * BV_CANNOT_CREATE, BV_CANNOT_WRITE. */
bv_status bv_journal_go_on(bv_journal *journal, const char *path,
                           bv_journal_end end, bv_error *error);

/* Appends a line, which waits for the next write; not empty, no newline in it.
 */
void bv_journal_append(bv_journal *journal, const char *text, size_t length);

/* Writes what waits: it outlives this process, if not the machine.
 * BV_CANNOT_CREATE, BV_CANNOT_WRITE: the file ends as before, as far as the
 * disk lets it. */
bv_status bv_journal_write(bv_journal *journal, bv_error *error);

/* The same, and has it on the disk. */
bv_status bv_journal_sync(bv_journal *journal, bv_error *error);

/* What waits is lost. {0} and closed journals are allowed. */
void bv_journal_close(bv_journal *journal);

#endif
