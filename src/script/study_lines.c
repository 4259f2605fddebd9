/* SPDX-License-Identifier: MIT */
/* Where a study names a result: Lua tells no lines of a table's entries, so the
 * text of the script is looked through. */
#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "script/loader.h"
#include "script/study_state.h"

static bool is_word_letter(char letter) {
  return isalnum((unsigned char) letter) || letter == '_';
}

/* True where a comment begins before `at` in its line. */
static bool in_comment(const char *text, const char *at) {
  for (; at > text && at[-1] != '\n'; at--)
    if (at[0] == '-' && at[-1] == '-')
      return true;
  return false;
}

/* The first place at or after `from` where word stands as a whole word outside
 * of comments, or NULL. */
static const char *find_word(const char *text, const char *from,
                             const char *word) {
  size_t length = strlen(word);
  for (const char *at = from; (at = strstr(at, word)); at += length)
    if ((at == text || !is_word_letter(at[-1])) &&
        !is_word_letter(at[length]) && !in_comment(text, at))
      return at;
  return NULL;
}

/* The line of a place in text, counted from 1; 0 where there is none. */
static size_t count_lines(const char *text, const char *at) {
  size_t line = at != NULL;
  for (const char *c = text; at && c < at; c++)
    line += *c == '\n';
  return line;
}

static size_t line_of(const char *text, const bv_needed *needed) {
  const char *role = find_word(text, text, needed->role);
  const char *at = role ? find_word(text, role, needed->name) : NULL;
  if (!at)
    at = find_word(text, text, needed->name);
  return count_lines(text, at);
}

/* As find_word, of a word that is given a value: NAME = … */
static const char *find_key(const char *text, const char *from,
                            const char *word) {
  const char *at = from;
  while ((at = find_word(text, at, word))) {
    at += strlen(word);
    const char *sign = at + strspn(at, " \t\"]");
    if (*sign == '=' && sign[1] != '=')
      return at;
  }
  return NULL;
}

/* The end of the table that begins behind a key, or the key itself where its
 * value is none. */
static const char *end_of_table(const char *text, const char *key) {
  const char *at = key + strspn(key, " \t\"]=\r\n");
  int depth = 0;
  if (*at != '{')
    return key;
  for (; *at; at++) {
    depth += *at == '{' && !in_comment(text, at);
    depth -= *at == '}' && !in_comment(text, at);
    if (depth <= 0)
      return at;
  }
  return key;
}

/* The key of an entry of the study: the last, for the table is returned at the
 * end; where its value is a name, the last that is given a table before. */
static const char *find_entry(const char *text, const char *entry) {
  const char *last = NULL, *table = NULL;
  for (const char *at = text; (at = find_key(text, at, entry)); last = at)
    if (end_of_table(text, at) > at)
      table = at;
  return table && last && isalpha((unsigned char) last[strspn(last, " =")])
             ? table
             : last;
}

/* The words of a path: "limits", "cost" of "limits.cost.max: …"; "start" of
 * "start[2].a: …", since the first `a` may be another point's. False where the
 * message begins with none. */
static bool read_path(const char *message, char *entry, char *name,
                      size_t room) {
  size_t length = 0, more = 0;
  while (is_word_letter(message[length]))
    length++;
  bool dotted = message[length] == '.';
  if (length == 0 || length >= room || !message[length] ||
      !strchr(".:[", message[length]))
    return false;
  while (dotted && is_word_letter(message[length + 1 + more]))
    more++;
  snprintf(entry, room, "%.*s", (int) length, message);
  snprintf(name, room, "%.*s", (int) more, message + length + dotted);
  return more < room;
}

size_t bv_study_line_of(const bv_study *study, const char *message) {
  char entry[80], name[80];
  bv_buffer text = {0};
  if (!read_path(message, entry, name, sizeof entry) ||
      bv_file_read(study->host->script, BV_SCRIPT_MOST, &text, NULL) != BV_OK)
    return 0;
  const char *begin = text.text ? text.text : "";
  const char *at = find_entry(begin, entry);
  const char *inside = at && *name ? find_key(begin, at, name) : NULL;
  if (inside && inside < end_of_table(begin, at))
    at = inside;
  size_t line = count_lines(begin, at);
  bv_buffer_free(&text);
  return line;
}

void bv_study_find_lines(bv_study *study) {
  bv_buffer text = {0};
  if (bv_file_read(study->host->script, BV_SCRIPT_MOST, &text, NULL) != BV_OK)
    return;
  for (size_t i = 0; text.text && i < study->needed_count; i++)
    study->needed[i].line = line_of(text.text, &study->needed[i]);
  bv_buffer_free(&text);
}
