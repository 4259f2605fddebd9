/* SPDX-License-Identifier: MIT */
#ifndef BV_CLI_CLI_H
#define BV_CLI_CLI_H

/* Runs the command line and returns the exit code of the program. */
int bv_cli(int count, char **arguments);

#endif
