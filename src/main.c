/* SPDX-License-Identifier: MIT */
#include "cli/cli.h"

int main(int count, char **arguments) {
  return bv_cli(count, arguments);
}
