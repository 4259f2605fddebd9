/* SPDX-License-Identifier: MIT */
#include "cli/cli.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/version.h"
#include "cli/command.h"
#include "cli/out.h"

static const bv_command *find_command(const char *name) {
  for (const bv_command *const *command = bv_commands; *command; command++)
    if (strcmp((*command)->name, name) == 0)
      return *command;
  return NULL;
}

/* Prints what went wrong; after a wrong call also the right form. */
static int fail(const bv_command *command, const bv_error *error) {
  if (*error->text)
    fprintf(stderr, "brimvolt: %s\n", error->text);
  if (error->status == BV_USAGE && command) {
    bv_buffer text = {0};
    bv_help_usage(command, &text);
    bv_buffer_print(&text, "example: %s\n", command->example);
    fprintf(stderr, "%s", text.failed ? "" : text.text);
    bv_buffer_free(&text);
  }
  return bv_status_exit_code(error->status);
}

static int print(bv_buffer *text) {
  bv_error error = {0};
  bv_status status = bv_out_write(text, &error);
  bv_buffer_free(text);
  return status == BV_OK ? 0 : fail(NULL, &error);
}

static int unknown_command(const char *name) {
  bv_error error;
  bv_nearest nearest = bv_nearest_begin(name);
  for (const bv_command *const *command = bv_commands; *command; command++)
    bv_nearest_offer(&nearest, (*command)->name);
  if (nearest.best)
    bv_fail(&error, BV_USAGE, "unknown command '%s', did you mean '%s'?", name,
            nearest.best);
  else
    bv_fail(&error, BV_USAGE,
            "unknown command '%s'; 'brimvolt --help' lists all", name);
  return fail(find_command(nearest.best ? nearest.best : ""), &error);
}

static int run_command(const bv_command *command, int count, char **arguments) {
  bv_error error = {0};
  bool help;
  bv_words words = {.words = calloc((size_t) count + 1, sizeof(char *))};
  void *options = calloc(1, command->size);
  int code;
  if (!words.words || !options) {
    bv_fail(&error, BV_INTERNAL, "out of memory");
    code = fail(NULL, &error);
  } else {
    command->defaults(options);
    bv_status status =
        bv_scan(command, count, arguments, options, &words, &help, &error);
    if (status == BV_OK && help) {
      bv_buffer text = {0};
      bv_help_command(command, &text);
      code = print(&text);
    } else {
      if (status == BV_OK)
        status = command->run(options, &words, &error);
      error.status = status;
      code = status == BV_OK ? 0 : fail(command, &error);
    }
  }
  free(options);
  free(words.words);
  return code;
}

static int print_version(void) {
  bv_buffer text = {0};
  bv_buffer_print(&text, "brimvolt %s\n", BV_VERSION);
  return print(&text);
}

static int print_help(void) {
  bv_buffer text = {0};
  bv_help_program(&text);
  return print(&text);
}

static int no_command(void) {
  bv_error error;
  bv_fail(&error, BV_USAGE,
          "expected a command, found nothing; 'brimvolt --help' lists all");
  return fail(&bv_search_command, &error);
}

/* `help` alone, or with a command. */
static int run_help(int count, char **arguments) {
  if (count < 1)
    return print_help();
  const bv_command *command = find_command(arguments[0]);
  if (!command)
    return unknown_command(arguments[0]);
  bv_buffer text = {0};
  bv_help_command(command, &text);
  return print(&text);
}

int bv_cli(int count, char **arguments) {
  bv_out_prepare();
  if (count < 2)
    return no_command();
  const char *name = arguments[1];
  if (strcmp(name, "--help") == 0 || strcmp(name, "-h") == 0)
    return print_help();
  if (strcmp(name, "help") == 0)
    return run_help(count - 2, arguments + 2);
  if (strcmp(name, "--version") == 0)
    return print_version();
  const bv_command *command = find_command(name);
  return command ? run_command(command, count - 2, arguments + 2)
                 : unknown_command(name);
}
