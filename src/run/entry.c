/* SPDX-License-Identifier: MIT */
#include "run/entry.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const words[] = {
#define BV_CASE_WORD(code, word) word,
    BV_CASE_MAP(BV_CASE_WORD)
#undef BV_CASE_WORD
};

const char *bv_case_word(bv_case_status status) {
  return words[status];
}

bool bv_case_is_final(bv_case_status status) {
  return status == BV_CASE_DONE || status == BV_CASE_NO_DESIGN ||
         status == BV_CASE_FAILED;
}

/* Writing */

static void append_number(double value, bv_buffer *text) {
  char number[BV_NUMBER_SIZE];
  bv_buffer_print(text, " %s", bv_format_number(number, value));
}

/* Blanks and such would end the word: they stand as %20. */
static void append_word(const char *word, bv_buffer *text) {
  for (; *word; word++)
    bv_buffer_print(text,
                    (unsigned char) *word <= ' ' || strchr("%=\177", *word)
                        ? "%%%02x"
                        : "%c",
                    (unsigned char) *word);
}

void bv_entry_print(const bv_entry *entry, bv_buffer *text) {
  bv_buffer_print(text, "entry %zu %s %" PRIu64 " %" PRIu64 " %" PRIu64,
                  entry->number, bv_case_word(entry->status),
                  entry->evaluations, entry->feasible, entry->rows);
  append_number(entry->hypervolume, text);
  append_number(entry->seconds, text);
  for (size_t i = 1; i < BV_OUTCOME_COUNT; i++)
    bv_buffer_print(text, " %" PRIu64, entry->outcomes[i]);
  bv_buffer_print(text, " %zu", entry->objectives);
  for (size_t i = 0; i < entry->objectives; i++) {
    char number[BV_NUMBER_SIZE];
    bv_buffer_print(text, " ");
    append_word(entry->best[i].column, text);
    bv_buffer_print(text, "=%s",
                    bv_format_number(number, entry->best[i].value));
  }
  bv_buffer_print(text, " %s", entry->reason);
}

/* Reading: words with one blank after each. */

static bool next_word(const char **text, char *word, size_t size) {
  size_t length = strcspn(*text, " ");
  if (length == 0 || length >= size || (*text)[length] != ' ')
    return false;
  memcpy(word, *text, length);
  word[length] = '\0';
  *text += length + 1;
  return true;
}

static bool next_count(const char **text, uint64_t *value) {
  char word[32], *end;
  if (!next_word(text, word, sizeof word))
    return false;
  *value = strtoull(word, &end, 10);
  return *end == '\0';
}

static bool next_number(const char **text, double *value) {
  char word[BV_NUMBER_SIZE];
  if (!next_word(text, word, sizeof word))
    return false;
  *value = strcmp(word, "nan") == 0 ? (double) NAN : 0;
  return strcmp(word, "nan") == 0 || bv_parse_number(word, value);
}

static bool next_status(const char **text, bv_case_status *status) {
  char word[32];
  if (!next_word(text, word, sizeof word))
    return false;
  for (*status = 0; *status < BV_CASE_COUNT; ++*status)
    if (strcmp(word, words[*status]) == 0)
      return true;
  return false;
}

static void decode(const char *word, char *text) {
  unsigned code;
  for (; *word; text++)
    if (sscanf(word, "%%%2x", &code) == 1) {
      *text = (char) code;
      word += 3;
    } else {
      *text = *word++;
    }
  *text = '\0';
}

static bool next_best(const char **text, bv_best *best) {
  char word[3 * BV_COLUMN_SIZE + BV_NUMBER_SIZE];
  if (!next_word(text, word, sizeof word))
    return false;
  char *equals = strrchr(word, '=');
  if (!equals)
    return false;
  *equals = '\0';
  decode(word, word);
  snprintf(best->column, sizeof best->column, "%.127s", word);
  return bv_parse_number(equals + 1, &best->value);
}

bool bv_entry_read(const char *text, bv_entry *entry) {
  uint64_t number, objectives;
  *entry = (bv_entry){0};
  if (strncmp(text, "entry ", 6) != 0)
    return false;
  text += 6;
  if (!next_count(&text, &number) || !next_status(&text, &entry->status) ||
      !next_count(&text, &entry->evaluations) ||
      !next_count(&text, &entry->feasible) ||
      !next_count(&text, &entry->rows) ||
      !next_number(&text, &entry->hypervolume) ||
      !next_number(&text, &entry->seconds))
    return false;
  for (size_t i = 1; i < BV_OUTCOME_COUNT; i++)
    if (!next_count(&text, &entry->outcomes[i]))
      return false;
  if (!next_count(&text, &objectives) || objectives > BV_OBJECTIVES_MOST)
    return false;
  for (size_t i = 0; i < objectives; i++)
    if (!next_best(&text, &entry->best[i]))
      return false;
  entry->number = number;
  entry->objectives = objectives;
  snprintf(entry->reason, sizeof entry->reason, "%s", text);
  return true;
}
