/* SPDX-License-Identifier: MIT */
#include <string.h>

#include "base/version.h"
#include "cli/command.h"

void bv_help_usage(const bv_command *command, bv_buffer *text) {
  bv_buffer_print(text, "usage: brimvolt %s %s [options]\n", command->name,
                  command->takes);
}

static void append_option(const bv_option *option, bv_buffer *text) {
  char left[64] = "";
  bv_buffer head = {0};
  bv_buffer_print(&head, "--%s%s%s", option->name, option->value ? " " : "",
                  option->value ? option->value : "");
  if (!head.failed && head.length < sizeof left)
    memcpy(left, head.text, head.length + 1);
  bv_buffer_free(&head);
  bv_buffer_print(text, "  %-22s %s\n", left, option->meaning);
}

void bv_help_command(const bv_command *command, bv_buffer *text) {
  bv_help_usage(command, text);
  bv_buffer_print(text, "\n%s\n\noptions:\n", command->summary);
  for (const bv_option *option = command->options; option->name; option++)
    append_option(option, text);
  bv_buffer_print(text, "  %-22s %s\n", "--help", "this text");
  bv_buffer_print(text, "\nexample: %s\n", command->example);
}

static void append_exit_codes(bv_buffer *text) {
#define BV_STATUS_LINE(code, meaning, exit_code)                               \
  bv_buffer_print(text, "  %-4d %s\n", exit_code, meaning);
  BV_STATUS_MAP(BV_STATUS_LINE)
#undef BV_STATUS_LINE
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
                        "error; \"-\" stands for either.\n\nexit codes:\n");
  append_exit_codes(text);
}
