/* SPDX-License-Identifier: MIT */
#include <limits.h>
#include <stdlib.h>
#include <string.h>

#include "base/version.h"
#include "cli/command.h"
#include "cli/library.h"

void bv_help_usage(const bv_command *command, bv_buffer *text) {
  bv_buffer_print(text, "usage: brimvolt %s %s [options]\n", command->name,
                  command->takes);
}

/* "--name VALUE", and how wide it is: characters, not bytes. */
static size_t print_head(const bv_option *option, bv_buffer *head) {
  size_t width = 0;
  head->length = 0;
  bv_buffer_print(head, "--%s%s%s", option->name, option->value ? " " : "",
                  option->value ? option->value : "");
  for (const char *at = head->failed ? "" : head->text; *at; at++)
    width += ((unsigned char) *at & 0xc0) != 0x80;
  return width;
}

static void append_option(const bv_option *option, size_t widest,
                          bv_buffer *text) {
  bv_buffer head = {0};
  size_t width = print_head(option, &head);
  bv_buffer_print(text, "  %s%*s  %s\n", head.failed ? "" : head.text,
                  (int) (widest - width), "", option->meaning);
  bv_buffer_free(&head);
}

static size_t find_widest(const bv_option *options) {
  size_t widest = 0;
  bv_buffer head = {0};
  for (const bv_option *option = options; option->name; option++) {
    size_t width = print_head(option, &head);
    widest = width > widest ? width : widest;
  }
  bv_buffer_free(&head);
  return widest;
}

void bv_help_command(const bv_command *command, bv_buffer *text) {
  static const bv_option help = {.name = "help", .meaning = "this text"};
  size_t widest = find_widest(command->options), least = strlen("--help");
  widest = widest > least ? widest : least;
  bv_help_usage(command, text);
  bv_buffer_print(text, "\n%s\n\noptions:\n", command->summary);
  for (const bv_option *option = command->options; option->name; option++)
    append_option(option, widest, text);
  append_option(&help, widest, text);
  bv_buffer_print(text, "\nexample: %s\n", command->example);
}

static void append_exit_codes(bv_buffer *text) {
#define BV_STATUS_LINE(code, meaning, exit_code)                               \
  bv_buffer_print(text, "  %-4d %s\n", exit_code, meaning);
  BV_STATUS_MAP(BV_STATUS_LINE)
#undef BV_STATUS_LINE
}

/* Where how to write a study is told, if it is there. */
static void append_manual(bv_buffer *text) {
  char found[PATH_MAX], library[PATH_MAX];
  bv_error error;
  if (bv_library_find(found, sizeof found, &error) == BV_OK &&
      realpath(found, library))
    bv_buffer_print(text,
                    "\nHow to write a study: %s/manual.md\n"
                    "All that scripts can call: %s/reference.md\n",
                    library, library);
}

void bv_help_program(bv_buffer *text) {
  bv_buffer_print(
      text,
      "brimvolt %s: searches designs of high-voltage capacitor chargers\n"
      "\nusage: brimvolt COMMAND …, brimvolt COMMAND --help\n"
      "\ncommands:\n",
      BV_VERSION);
  for (const bv_command *const *command = bv_commands; *command; command++) {
    const char *summary = (*command)->summary;
    bv_buffer_print(text, "  %-8s %.*s\n", (*command)->name,
                    (int) strcspn(summary, "\n"), summary);
  }
  bv_buffer_print(text, "\nData goes to standard output, talk to standard "
                        "error; \"-\" stands for either.\n");
  append_manual(text);
  bv_buffer_print(text, "\nexit codes:\n");
  append_exit_codes(text);
}
