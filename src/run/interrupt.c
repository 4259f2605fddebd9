/* SPDX-License-Identifier: MIT */
#include "run/interrupt.h"

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <unistd.h>

static volatile sig_atomic_t first;

static bv_status meaning(int number) {
  if (number == 0)
    return BV_OK;
  return number == SIGINT ? BV_INTERRUPTED : BV_TERMINATED;
}

static void on_signal(int number) {
  if (first)
    _exit(bv_status_exit_code(meaning(number)));
  first = number;
}

/* A run started under nohup outlives its terminal. */
static bool is_ignored(int number) {
  struct sigaction action;
  return sigaction(number, NULL, &action) == 0 && action.sa_handler == SIG_IGN;
}

void bv_interrupt_mind(void) {
  static const int minded[] = {SIGINT, SIGTERM, SIGHUP, SIGUSR1};
  struct sigaction action = {.sa_handler = on_signal};
  sigemptyset(&action.sa_mask);
  for (size_t i = 0; i < sizeof minded / sizeof *minded; i++)
    if (minded[i] != SIGHUP || !is_ignored(SIGHUP))
      sigaction(minded[i], &action, NULL);
}

bv_status bv_interrupt_asked(void) {
  return meaning(first);
}
