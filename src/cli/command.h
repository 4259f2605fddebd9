/* SPDX-License-Identifier: MIT */
/* Commands: each is a row that says what it takes and what runs it; scanning,
 * help and usage errors come from these rows. */
#ifndef BV_CLI_COMMAND_H
#define BV_CLI_COMMAND_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "base/text.h"

typedef enum bv_option_kind {
  BV_OPTION_FLAG,   /* bool */
  BV_OPTION_TEXT,   /* const char * */
  BV_OPTION_WHOLE,  /* uint64_t in lo … hi */
  BV_OPTION_NUMBER, /* double in lo … hi */
  BV_OPTION_WORD    /* int, index into words */
} bv_option_kind;

typedef struct bv_option {
  const char *name;  /* without the dashes */
  const char *value; /* what help calls its value; NULL for a flag */
  const char *meaning;
  bv_option_kind kind;
  size_t offset; /* in the command's options */
  double lo, hi;
  const char *const *words; /* NULL at the end */
} bv_option;

/* What is not an option: words before "--", and arguments after it. */
typedef struct bv_words {
  size_t count, argument_count;
  const char **words;
  const char *const *arguments;
} bv_words;

typedef struct bv_command {
  const char *name;
  const char *takes; /* how help writes the words */
  const char *summary;
  const char *example;      /* a right call, shown after a wrong one */
  size_t least, most;       /* words */
  const bv_option *options; /* name NULL at the end */
  size_t size;              /* of the struct that options fill */
  void (*defaults)(void *options);
  bv_status (*run)(const void *options, const bv_words *words, bv_error *error);
} bv_command;

/* The commands in the order of help: bv_NAME_command in src/cli/NAME.c. */
#define BV_COMMAND_MAP(X)                                                      \
  X(init)                                                                      \
  X(search)                                                                    \
  X(point)                                                                     \
  X(check)                                                                     \
  X(explain)                                                                   \
  X(table)                                                                     \
  X(compare)                                                                   \
  X(page)                                                                      \
  X(plot)                                                                      \
  X(sheet)                                                                     \
  X(wave)                                                                      \
  X(sweep)                                                                     \
  X(status)                                                                    \
  X(merge)                                                                     \
  X(submit)

#define BV_COMMAND_DECLARE(name) extern const bv_command bv_##name##_command;
BV_COMMAND_MAP(BV_COMMAND_DECLARE)
#undef BV_COMMAND_DECLARE

/* Every command, NULL at the end. */
extern const bv_command *const bv_commands[];

/* Reads arguments into options (defaults are in it) and words, whose `words`
 * has room for count; *help tells that --help was among them. BV_USAGE. Nothing
 * is acted upon. */
bv_status bv_scan(const bv_command *command, int count, char **arguments,
                  void *options, bv_words *words, bool *help, bv_error *error);

/* Help of the program, of one command, and its one-line usage. */
void bv_help_program(bv_buffer *text);
void bv_help_command(const bv_command *command, bv_buffer *text);
void bv_help_usage(const bv_command *command, bv_buffer *text);

#endif
