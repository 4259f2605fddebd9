/* SPDX-License-Identifier: MIT */
/* What a journal gives back after any single damage: a beginning of what was
 * written, or a refusal; never anything else. */
#include "run/journal.h"

#include <stdbool.h>
#include <sys/stat.h>

#include "check_main.h"
#include "temporary.h"

static const char *const lines[] = {"first", "2", "cell 1 of two",
                                    "cell 2 of two", "a last line"};

enum { LINES = sizeof lines / sizeof *lines };

typedef struct reading {
  size_t count;
  bool wrong; /* a line isn't the one that was written */
} reading;

static bv_status take(void *context, const char *text, bv_error *error) {
  reading *r = context;
  (void) error;
  r->wrong = r->wrong || r->count >= LINES || strcmp(text, lines[r->count]);
  r->count++;
  return BV_OK;
}

static bv_status read_all(const char *path, reading *r, bv_journal_end *end,
                          bv_error *error) {
  *r = (reading){0};
  return bv_journal_read(path, take, r, end, error);
}

/* The bytes of a journal of count lines; freed by the caller. */
static char *write_lines(const char *folder, const char *const *texts,
                         size_t count, size_t *length) {
  char *path = temporary_path(folder, "journal");
  bv_journal journal;
  bv_error error;
  ck_assert(bv_journal_begin(&journal, path, &error) == BV_OK);
  for (size_t i = 0; i < count; i++)
    bv_journal_append(&journal, texts[i], strlen(texts[i]));
  ck_assert(bv_journal_sync(&journal, &error) == BV_OK);
  bv_journal_close(&journal);
  FILE *file = fopen(path, "rb");
  char *bytes = calloc(1, 4096);
  *length = fread(bytes, 1, 4096, file);
  fclose(file);
  free(path);
  return bytes;
}

START_TEST(a_line_begins_with_its_crc_32) {
  const char *folder = temporary_make(), *text = "123456789";
  size_t length;
  char *bytes = write_lines(folder, &text, 1, &length);
  /* The check value of CRC-32/ISO-HDLC, as catalogues of CRC algorithms
   * publish it (from memory): that of "123456789" is cbf43926. */
  ck_assert_str_eq(bytes, "cbf43926 123456789\n");
  free(bytes);
  temporary_remove(folder);
}
END_TEST

START_TEST(a_cut_journal_gives_a_beginning) {
  const char *folder = temporary_make();
  size_t length, whole = 0;
  char *bytes = write_lines(folder, lines, LINES, &length);
  for (size_t cut = 0; cut <= length; cut++) {
    reading r;
    bv_journal_end end;
    bv_error error;
    char *path = temporary_write(folder, "cut", bytes, cut);
    ck_assert(read_all(path, &r, &end, &error) == BV_OK);
    whole += cut > 0 && bytes[cut - 1] == '\n';
    ck_assert(!r.wrong);
    ck_assert_uint_eq(r.count, whole);
    ck_assert_uint_eq(end.lines, whole);
    free(path);
  }
  ck_assert_uint_eq(whole, LINES);
  free(bytes);
  temporary_remove(folder);
}
END_TEST

START_TEST(a_flipped_bit_is_met) {
  const char *folder = temporary_make();
  size_t length, refused = 0, shortened = 0;
  char *bytes = write_lines(folder, lines, LINES, &length);
  for (size_t bit = 0; bit < 8 * length; bit++) {
    reading r;
    bv_journal_end end;
    bv_error error;
    bytes[bit / 8] = (char) (bytes[bit / 8] ^ 1 << bit % 8);
    char *path = temporary_write(folder, "flipped", bytes, length);
    bv_status status = read_all(path, &r, &end, &error);
    ck_assert(status == BV_OK || status == BV_BAD_DATA);
    ck_assert(!r.wrong && r.count < LINES);
    refused += status == BV_BAD_DATA;
    shortened += status == BV_OK;
    bytes[bit / 8] = (char) (bytes[bit / 8] ^ 1 << bit % 8);
    free(path);
  }
  /* Damage well before the end is told from a torn end. */
  ck_assert_uint_ge(refused, 8 * 3 * 10);
  ck_assert_uint_ge(shortened, 8 * strlen(lines[LINES - 1]));
  free(bytes);
  temporary_remove(folder);
}
END_TEST

START_TEST(a_lost_doubled_or_moved_line_is_met) {
  static const size_t orders[][LINES] = {
      {0, 1, 3, 4, LINES}, {0, 1, 2, 2, 3}, {0, 2, 1, 3, 4}, {1, 2, 3, 4, 0}};
  const char *folder = temporary_make();
  size_t length;
  char *bytes = write_lines(folder, lines, LINES, &length);
  char *starts[LINES + 1], other[4096];
  for (size_t i = 0; i < LINES; i++)
    starts[i] = i ? strchr(starts[i - 1], '\n') + 1 : bytes;
  starts[LINES] = bytes + length;
  for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
    size_t used = 0;
    for (size_t j = 0; j < LINES && orders[i][j] < LINES; j++) {
      size_t k = orders[i][j], size = (size_t) (starts[k + 1] - starts[k]);
      memcpy(other + used, starts[k], size);
      used += size;
    }
    reading r;
    bv_journal_end end;
    bv_error error;
    char *path = temporary_write(folder, "other", other, used);
    ck_assert(read_all(path, &r, &end, &error) == BV_BAD_DATA);
    ck_assert(!r.wrong);
    ck_assert_ptr_nonnull(strstr(error.text, "/other:"));
    free(path);
  }
  free(bytes);
  temporary_remove(folder);
}
END_TEST

START_TEST(a_journal_goes_on_after_its_good_lines) {
  const char *folder = temporary_make();
  size_t length;
  char *bytes = write_lines(folder, lines, LINES, &length);
  char *path = temporary_write(folder, "torn", bytes, length - 3);
  reading r;
  bv_journal_end end;
  bv_journal journal;
  bv_error error;
  ck_assert(read_all(path, &r, &end, &error) == BV_OK);
  ck_assert_uint_eq(r.count, LINES - 1);
  ck_assert(bv_journal_go_on(&journal, path, end, &error) == BV_OK);
  bv_journal_append(&journal, lines[LINES - 1], strlen(lines[LINES - 1]));
  ck_assert(bv_journal_sync(&journal, &error) == BV_OK);
  bv_journal_close(&journal);
  ck_assert(read_all(path, &r, &end, &error) == BV_OK);
  ck_assert(!r.wrong);
  ck_assert_uint_eq(r.count, LINES);
  ck_assert_int_eq(end.length, (off_t) length);
  free(path);
  free(bytes);
  temporary_remove(folder);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {a_line_begins_with_its_crc_32,
                                a_cut_journal_gives_a_beginning,
                                a_flipped_bit_is_met,
                                a_lost_doubled_or_moved_line_is_met,
                                a_journal_goes_on_after_its_good_lines,
                                NULL};
  return check_main("journal", tests);
}
