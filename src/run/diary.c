/* SPDX-License-Identifier: MIT */
#include "run/diary.h"

#include <errno.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zlib.h>

#include "run/clock.h"
#include "run/journal.h"

/* Bytes that wait for the next checkpoint; more are written before. */
enum { EARLY = 1 << 20 };

/* A sync is paid for by this many times its duration without one, so that a
 * slow disk costs half a percent of the time; but no more than this many s. */
enum { REST = 200, REST_MOST = 60 };

struct bv_diary {
  const bv_problem *problem;
  const char *title; /* while opening */
  bv_keeper keeper;
  bv_journal journal;
  double interval; /* s, between two checkpoints */
  double kept;     /* s, clock of the last one */
  double rest;     /* s, clock before which none is synced */
  bool foreign;    /* the first line names another search */
  uint64_t lines;  /* looked at while opening */
  uint64_t cells;  /* known from earlier runs */
  double before;   /* s of search in earlier runs */
  double begun;    /* s, clock when opened */
  FILE *reader;    /* behind the cell recalled last */
  char *line;      /* read last */
  size_t room;     /* of it */
  bv_buffer text;  /* of the line to be kept */
  bv_buffer progress;
  char pairs[256][2]; /* of hexadecimal digits */
};

/* The head of a line of a cell. */
typedef struct head {
  uint64_t number;
  uint32_t identity;
  size_t count, notes;
  double seconds;
  int length; /* of the head in the line */
} head;

static uint32_t identity_of(const bv_cell *cell) {
  uint64_t key[] = {cell->number, cell->operator, cell->most };
  uLong check = crc32_z(0, (const unsigned char *) key, sizeof key);
  return (uint32_t) crc32_z(check, (const unsigned char *) cell->data,
                            cell->length * sizeof *cell->data);
}

static bool read_head(const char *text, head *h) {
  return sscanf(text, "cell %" SCNu64 " %" SCNx32 " %zu %zu %lf %n", &h->number,
                &h->identity, &h->count, &h->notes, &h->seconds,
                &h->length) == 5;
}

static const char hexadecimal[] = "0123456789abcdef";

static void fill_pairs(bv_diary *diary) {
  for (size_t i = 0; i < 256; i++) {
    diary->pairs[i][0] = hexadecimal[i >> 4];
    diary->pairs[i][1] = hexadecimal[i & 15];
  }
}

/* In batches and pairs, for a diary takes millions of numbers. */
static void append_numbers(const bv_diary *diary, const double *numbers,
                           size_t count, bv_buffer *text) {
  enum { BATCH = 64, DIGITS = 16 };
  char words[BATCH * DIGITS];
  for (size_t i = 0; i < count; i += BATCH) {
    size_t most = count - i < BATCH ? count - i : BATCH;
    for (size_t j = 0; j < most; j++) {
      uint64_t bits;
      memcpy(&bits, &numbers[i + j], sizeof bits);
      for (size_t k = DIGITS / 2; k-- > 0; bits >>= 8)
        memcpy(&words[j * DIGITS + 2 * k], diary->pairs[bits & 255], 2);
    }
    bv_buffer_append(text, words, most * DIGITS);
  }
}

static void read_numbers(const char *text, double *numbers, size_t count) {
  for (size_t i = 0; i < count; i++) {
    uint64_t bits = 0;
    for (size_t j = 0; j < 16; j++, text++)
      bits = bits << 4 |
             (uint64_t) (*text <= '9' ? *text - '0' : *text - 'a' + 10);
    memcpy(&numbers[i], &bits, sizeof bits);
  }
}

/* Recalling */

/* The next line of a cell, after its check; NULL at the end. */
static const char *next_line(bv_diary *diary, head *h) {
  while (getline(&diary->line, &diary->room, diary->reader) > 0) {
    const char *space = strchr(diary->line, ' ');
    if (space && read_head(space + 1, h))
      return space + 1;
  }
  return NULL;
}

static bool fits(const bv_diary *diary, const bv_cell *cell, const head *h,
                 const char *text) {
  size_t numbers = h->count * bv_record_size(diary->problem) + h->notes;
  return h->number == cell->number && h->identity == identity_of(cell) &&
         h->count <= cell->most && h->notes <= BV_NOTE_MOST &&
         strspn(text + h->length, hexadecimal) == 16 * numbers;
}

static bv_status recall(void *context, const bv_cell *cell,
                        bv_cell_result *result, bool *known, bv_error *error) {
  bv_diary *diary = context;
  *known = cell->number < diary->cells;
  if (!*known)
    return BV_OK;
  head h;
  const char *text = next_line(diary, &h);
  if (!text || !fits(diary, cell, &h, text))
    return bv_fail(error, BV_INTERNAL,
                   "%s: cell %" PRIu64
                   " isn't the one this search asks for; --restart throws away "
                   "what is there",
                   diary->journal.path, cell->number);
  size_t numbers = h.count * bv_record_size(diary->problem);
  text += h.length;
  read_numbers(text, result->records, numbers);
  read_numbers(text + 16 * numbers, result->note, h.notes);
  result->count = h.count;
  result->note_length = h.notes;
  diary->before = h.seconds;
  diary->begun = bv_clock();
  return BV_OK;
}

/* Keeping */

bool bv_diary_is_due(const bv_diary *diary) {
  return bv_clock() - diary->kept >= diary->interval;
}

void bv_diary_tell(bv_diary *diary, const char *progress) {
  diary->progress.length = 0;
  bv_buffer_print(&diary->progress, "progress %s", progress);
}

double bv_diary_seconds(const bv_diary *diary) {
  return diary->before;
}

static void append_progress(bv_diary *diary) {
  if (diary->progress.length > 0 && !diary->progress.failed)
    bv_journal_append(&diary->journal, diary->progress.text,
                      diary->progress.length);
  diary->progress.length = 0;
}

bv_status bv_diary_sync(bv_diary *diary, bv_error *error) {
  append_progress(diary);
  double begun = bv_clock();
  bv_status status = bv_journal_sync(&diary->journal, error);
  diary->kept = bv_clock();
  diary->rest = diary->kept + fmin(REST * (diary->kept - begun), REST_MOST);
  return status;
}

/* What is written outlives this process at once, what is synced the machine. */
static bv_status checkpoint(bv_diary *diary, bv_error *error) {
  if (bv_clock() >= diary->rest || diary->interval == 0)
    return bv_diary_sync(diary, error);
  append_progress(diary);
  diary->kept = bv_clock();
  return bv_journal_write(&diary->journal, error);
}

static bv_status keep(void *context, const bv_cell *cell,
                      const bv_cell_result *result, bv_error *error) {
  bv_diary *diary = context;
  if (cell->number < diary->cells)
    return BV_OK;
  size_t numbers = result->count * bv_record_size(diary->problem);
  diary->text.length = 0;
  bv_buffer_print(&diary->text, "cell %" PRIu64 " %08" PRIx32 " %zu %zu %.3f ",
                  cell->number, identity_of(cell), result->count,
                  result->note_length,
                  diary->before + bv_clock() - diary->begun);
  append_numbers(diary, result->records, numbers, &diary->text);
  append_numbers(diary, result->note, result->note_length, &diary->text);
  if (diary->text.failed)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory",
                   diary->journal.path);
  bv_journal_append(&diary->journal, diary->text.text, diary->text.length);
  if (bv_diary_is_due(diary))
    return checkpoint(diary, error);
  return diary->journal.waiting.length < EARLY
             ? BV_OK
             : bv_journal_write(&diary->journal, error);
}

/* Opening */

static bv_status look_at_line(void *context, const char *text,
                              bv_error *error) {
  bv_diary *diary = context;
  head h;
  (void) error;
  if (diary->lines++ == 0)
    diary->foreign = strcmp(text, diary->title) != 0;
  else if (!diary->foreign && read_head(text, &h))
    diary->cells++;
  return BV_OK;
}

static bv_status begin_anew(bv_diary *diary, const char *path,
                            bv_error *error) {
  diary->cells = 0;
  bv_status status = bv_journal_begin(&diary->journal, path, error);
  if (status == BV_OK)
    bv_journal_append(&diary->journal, diary->title, strlen(diary->title));
  return status;
}

static bv_status go_on(bv_diary *diary, const char *path, bv_journal_end end,
                       bv_error *error) {
  bv_status status = bv_journal_go_on(&diary->journal, path, end, error);
  diary->reader = status == BV_OK ? fopen(path, "re") : NULL;
  if (status == BV_OK && !diary->reader)
    status = bv_fail(error, BV_NO_INPUT, "%s: %s", path, strerror(errno));
  return status;
}

bv_status bv_diary_open(const char *path, const char *title,
                        const bv_problem *problem, double interval,
                        bv_diary **diary, bv_error *error) {
  bv_journal_end end;
  *diary = NULL;
  bv_diary *made = calloc(1, sizeof *made);
  if (!made)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  *made = (bv_diary){.problem = problem,
                     .title = title,
                     .keeper = {recall, keep, made},
                     .journal = {.descriptor = -1},
                     .interval = interval,
                     .kept = bv_clock(),
                     .begun = bv_clock()};
  fill_pairs(made);
  bv_status status = bv_journal_read(path, look_at_line, made, &end, error);
  if (status == BV_OK)
    status = end.lines == 0 || made->foreign ? begin_anew(made, path, error)
                                             : go_on(made, path, end, error);
  if (status == BV_OK)
    *diary = made;
  else
    bv_diary_close(made);
  return status;
}

const bv_keeper *bv_diary_keeper(bv_diary *diary) {
  return &diary->keeper;
}

void bv_diary_close(bv_diary *diary) {
  if (!diary)
    return;
  if (diary->reader)
    fclose(diary->reader);
  bv_journal_close(&diary->journal);
  bv_buffer_free(&diary->text);
  bv_buffer_free(&diary->progress);
  free(diary->line);
  free(diary);
}
