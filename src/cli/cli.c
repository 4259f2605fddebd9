/* SPDX-License-Identifier: MIT */
#include "cli/cli.h"

#include "base/status.h"

int bv_cli(int count, char **arguments) {
  (void) count;
  (void) arguments;
  return bv_status_exit_code(BV_USAGE);
}
