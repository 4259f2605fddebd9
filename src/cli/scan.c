/* SPDX-License-Identifier: MIT */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/command.h"

typedef struct scan {
  const bv_command *command;
  char **next, **end;
  void *options;
} scan;

static const bv_option *find_option(const bv_command *command, const char *name,
                                    size_t length) {
  for (const bv_option *o = command->options; o->name; o++)
    if (strlen(o->name) == length && strncmp(o->name, name, length) == 0)
      return o;
  return NULL;
}

static bv_status unknown_option(const bv_command *command, const char *word,
                                size_t length, bv_error *error) {
  char name[64];
  snprintf(name, sizeof name, "%.*s", (int) length, word);
  bv_nearest nearest = bv_nearest_begin(name);
  for (const bv_option *o = command->options; o->name; o++)
    bv_nearest_offer(&nearest, o->name);
  bv_nearest_offer(&nearest, "help");
  if (nearest.best)
    return bv_fail(error, BV_USAGE, "unknown option --%s, did you mean --%s?",
                   name, nearest.best);
  return bv_fail(error, BV_USAGE, "unknown option --%s", name);
}

static bv_status expected(const bv_option *option, const char *found,
                          bv_error *error) {
  const char *what =
      option->kind == BV_OPTION_WHOLE ? "a whole number" : "a number";
  char lo[BV_NUMBER_SIZE], hi[BV_NUMBER_SIZE];
  bv_format_number(lo, option->lo);
  bv_format_number(hi, option->hi);
  if (isinf(option->hi))
    return bv_fail(error, BV_USAGE, "--%s: expected %s from %s up, found '%s'",
                   option->name, what, lo, found);
  return bv_fail(error, BV_USAGE, "--%s: expected %s from %s to %s, found '%s'",
                 option->name, what, lo, hi, found);
}

static bv_status expected_word(const bv_option *option, const char *found,
                               bv_error *error) {
  bv_fail(error, BV_USAGE, "--%s: expected", option->name);
  const char *comma = " ";
  for (const char *const *word = option->words; *word; word++) {
    size_t used = strlen(error->text);
    snprintf(error->text + used, sizeof error->text - used, "%s%s", comma,
             *word);
    comma = " or ";
  }
  size_t used = strlen(error->text);
  snprintf(error->text + used, sizeof error->text - used, ", found '%.64s'",
           found);
  return BV_USAGE;
}

/* Puts one value where its option belongs. */
static bv_status store(const bv_option *option, const char *value,
                       void *options, bv_error *error) {
  char *place = (char *) options + option->offset;
  double number;
  switch (option->kind) {
  case BV_OPTION_FLAG:
    *(bool *) place = true;
    return BV_OK;
  case BV_OPTION_TEXT:
    if (!*value)
      return bv_fail(error, BV_USAGE, "--%s: expected %s, found nothing",
                     option->name, option->value);
    memcpy(place, &value, sizeof value);
    return BV_OK;
  case BV_OPTION_WORD:
    for (int i = 0; option->words[i]; i++)
      if (strcmp(option->words[i], value) == 0) {
        memcpy(place, &i, sizeof i);
        return BV_OK;
      }
    return expected_word(option, value, error);
  case BV_OPTION_WHOLE:
  case BV_OPTION_NUMBER:
    break;
  }
  bool whole = option->kind == BV_OPTION_WHOLE;
  if (!bv_parse_number(value, &number) || !(number >= option->lo) ||
      !(number <= option->hi) || (whole && number != floor(number)))
    return expected(option, value, error);
  uint64_t count = whole ? (uint64_t) number : 0;
  memcpy(place, whole ? (const void *) &count : (const void *) &number,
         whole ? sizeof count : sizeof number);
  return BV_OK;
}

/* Reads "--name value", "--name=value" or "--flag"; `word` is after the dashes.
 */
static bv_status scan_option(scan *s, const char *word, bv_error *error) {
  size_t length = strcspn(word, "=");
  const bv_option *option = find_option(s->command, word, length);
  const char *value = word[length] ? word + length + 1 : NULL;
  if (!option)
    return unknown_option(s->command, word, length, error);
  if (!option->value && value)
    return bv_fail(error, BV_USAGE, "--%s takes no value, found '%s'",
                   option->name, value);
  if (option->value && !value) {
    if (s->next == s->end)
      return bv_fail(error, BV_USAGE, "--%s: expected %s after it",
                     option->name, option->value);
    value = *s->next++;
  }
  return store(option, value, s->options, error);
}

static bv_status check_words(const bv_command *command, const bv_words *words,
                             bv_error *error) {
  if (words->count < command->least)
    return bv_fail(error, BV_USAGE, "%s: expected %s, found %s", command->name,
                   command->takes, words->count ? "less" : "nothing");
  if (words->count > command->most)
    return bv_fail(error, BV_USAGE, "%s: expected %s, found '%s' too",
                   command->name, command->takes, words->words[command->most]);
  return BV_OK;
}

bv_status bv_scan(const bv_command *command, int count, char **arguments,
                  void *options, bv_words *words, bool *help, bv_error *error) {
  scan s = {command, arguments, arguments + count, options};
  *help = false;
  words->count = words->argument_count = 0;
  while (s.next < s.end) {
    const char *word = *s.next++;
    if (strcmp(word, "--") == 0) {
      words->arguments = (const char *const *) s.next;
      words->argument_count = (size_t) (s.end - s.next);
      break;
    }
    if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0) {
      *help = true;
      return BV_OK;
    }
    if (word[0] != '-' || word[1] == '\0')
      words->words[words->count++] = word;
    else if (word[1] != '-')
      return bv_fail(error, BV_USAGE, "unknown option %s", word);
    else if (scan_option(&s, word + 2, error) != BV_OK)
      return BV_USAGE;
  }
  return check_words(command, words, error);
}
