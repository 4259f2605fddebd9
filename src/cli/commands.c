/* SPDX-License-Identifier: MIT */
#include "cli/command.h"

#define COMMAND_ADDRESS(name) &bv_##name##_command,
const bv_command *const bv_commands[] = {BV_COMMAND_MAP(COMMAND_ADDRESS) NULL};
#undef COMMAND_ADDRESS
