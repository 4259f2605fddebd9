/* SPDX-License-Identifier: MIT */
#include "script/filter.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "script/host.h"
#include "script/sandbox.h"

#define MEMORY_MOST ((size_t) 32 << 20)
enum { STEPS_MOST = 1000000, WORD_MOST = 64 };

struct bv_filter {
  bv_host *host;
  const char *expression;
  const char *const *names;
  size_t count;
  const bv_filter_value *values; /* of the row under way */
  int chunk, row;                /* registry references: function, its _ENV */
  bool matches;
};

static const char *const words[] = {"and",   "or",  "not", "true",
                                    "false", "nil", "math"};

static bool is_word(const char *word) {
  for (size_t i = 0; i < sizeof words / sizeof *words; i++)
    if (strcmp(words[i], word) == 0)
      return true;
  return false;
}

static bool is_letter(char c) {
  return isalpha((unsigned char) c) || c == '_';
}

/* The end of what is no name: a text in quotes, a number, a field or method. */
static const char *skip_other(const char *at) {
  if (*at == '"' || *at == '\'') {
    char quote = *at++;
    while (*at && *at != quote)
      at += *at == '\\' && at[1] ? 2 : 1;
    return *at ? at + 1 : at;
  }
  if (isdigit((unsigned char) *at) || *at == '.' || *at == ':') {
    while (isalnum((unsigned char) *at) || strchr("._:", *at)) {
      if (!*at)
        return at;
      at++;
    }
    return at;
  }
  return at + 1;
}

static bv_status check_name(const bv_filter *filter, const char *name,
                            bv_error *error) {
  bv_nearest nearest = bv_nearest_begin(name);
  if (is_word(name))
    return BV_OK;
  for (size_t i = 0; i < filter->count; i++) {
    if (strcmp(filter->names[i], name) == 0)
      return BV_OK;
    bv_nearest_offer(&nearest, filter->names[i]);
  }
  return bv_fail(error, BV_USAGE, "filter '%s': no column \"%s\"%s%s%s",
                 filter->expression, name,
                 nearest.best ? "; did you mean \"" : "",
                 nearest.best ? nearest.best : "", nearest.best ? "\"?" : "");
}

/* A column alone is true of every row to Lua. */
static bv_status check_alone(const bv_filter *filter, bv_error *error) {
  const char *begin = filter->expression + strspn(filter->expression, " ");
  size_t length = strcspn(begin, " ");
  bool alone = begin[length + strspn(begin + length, " ")] == '\0';
  for (size_t i = 0; i < filter->count; i++)
    if (alone && strlen(filter->names[i]) == length &&
        strncmp(filter->names[i], begin, length) == 0)
      return bv_fail(error, BV_USAGE,
                     "filter '%s': expected a comparison such as charge_time < "
                     "1.5, found a name alone",
                     filter->expression);
  return BV_OK;
}

/* Every name must be a column, so that a slip shows whatever the rows hold. */
static bv_status check_names(const bv_filter *filter, bv_error *error) {
  for (const char *at = filter->expression; *at;) {
    char name[WORD_MOST + 1];
    size_t length = 0;
    if (!is_letter(*at)) {
      at = skip_other(at);
      continue;
    }
    for (; is_letter(*at) || isdigit((unsigned char) *at); at++)
      if (length < WORD_MOST)
        name[length++] = *at;
    name[length] = '\0';
    bv_status status = check_name(filter, name, error);
    if (status != BV_OK)
      return status;
  }
  return BV_OK;
}

static int load(lua_State *L, const char *text) {
  return luaL_loadbufferx(L, text, strlen(text), "=filter", "t");
}

/* The parentheses make it one expression; without them the message is of what
 * was written and not of them. */
static void load_expression(lua_State *L, const char *expression) {
  if (load(L, lua_pushfstring(L, "return (%s\n)", expression)) == LUA_OK)
    return;
  if (load(L, lua_pushfstring(L, "return %s", expression)) != LUA_OK)
    lua_error(L);
  luaL_error(L, "expected one expression such as charge_time < 1.5");
}

/* Compiles the expression with a table of its own as _ENV. */
static int compile(lua_State *L) {
  bv_filter *filter = lua_touserdata(L, 1);
  bv_sandbox_open(L);
  load_expression(L, filter->expression);
  lua_newtable(L);
  lua_getglobal(L, "math");
  lua_setfield(L, -2, "math");
  lua_pushvalue(L, -1);
  filter->row = luaL_ref(L, LUA_REGISTRYINDEX);
  lua_setupvalue(L, -2, 1);
  filter->chunk = luaL_ref(L, LUA_REGISTRYINDEX);
  return 0;
}

static int match(lua_State *L) {
  bv_filter *filter = lua_touserdata(L, 1);
  lua_rawgeti(L, LUA_REGISTRYINDEX, filter->row);
  for (size_t i = 0; i < filter->count; i++) {
    if (filter->values[i].text)
      lua_pushstring(L, filter->values[i].text);
    else
      lua_pushnumber(L, filter->values[i].number);
    lua_setfield(L, -2, filter->names[i]);
  }
  lua_rawgeti(L, LUA_REGISTRYINDEX, filter->chunk);
  lua_call(L, 0, 1);
  filter->matches = lua_toboolean(L, -1);
  return 0;
}

/* The first line of what went wrong, and a hint. */
static bv_status fail(const bv_filter *filter, const char *hint,
                      bv_error *error) {
  const char *text = filter->host->message.text;
  return bv_fail(error, BV_USAGE, "filter '%s': %.*s%s", filter->expression,
                 (int) strcspn(text, "\n"), text, hint);
}

/* What other languages write. */
static const char operators[] =
    "; Lua compares with == ~= < <= > >= and joins with and, or, not";

bv_status bv_filter_open(const char *expression, const char *const *names,
                         size_t count, bv_filter **filter, bv_error *error) {
  *filter = NULL;
  bv_filter *made = calloc(1, sizeof *made);
  if (!made || !(made->host = bv_host_new(MEMORY_MOST))) {
    free(made);
    return bv_fail(error, BV_INTERNAL, "out of memory");
  }
  made->expression = expression;
  made->names = names;
  made->count = count;
  bv_status status = check_names(made, error);
  if (status == BV_OK)
    status = check_alone(made, error);
  if (status == BV_OK && bv_host_call(made->host, compile, made, STEPS_MOST) !=
                             BV_OUTCOME_EVALUATED)
    status = fail(made, operators, error);
  if (status == BV_OK)
    *filter = made;
  else
    bv_filter_close(made);
  return status;
}

void bv_filter_close(bv_filter *filter) {
  if (!filter)
    return;
  bv_host_free(filter->host);
  free(filter);
}

bv_status bv_filter_match(bv_filter *filter, const bv_filter_value *values,
                          bool *matches, bv_error *error) {
  filter->values = values;
  if (bv_host_call(filter->host, match, filter, STEPS_MOST) !=
      BV_OUTCOME_EVALUATED)
    return fail(filter, "", error);
  *matches = filter->matches;
  return BV_OK;
}
