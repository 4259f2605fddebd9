/* SPDX-License-Identifier: MIT */
/* Where a study names a result: Lua tells no lines of a table's entries, so the
 * text of the script is looked through. */
#include <ctype.h>
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

static size_t line_of(const char *text, const bv_needed *needed) {
  const char *role = find_word(text, text, needed->role);
  const char *at = role ? find_word(text, role, needed->name) : NULL;
  if (!at)
    at = find_word(text, text, needed->name);
  size_t line = at != NULL;
  for (const char *c = text; at && c < at; c++)
    line += *c == '\n';
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
