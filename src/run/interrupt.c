/* SPDX-License-Identifier: MIT */
#include "run/interrupt.h"

#include <errno.h>
#include <signal.h>
#include <stddef.h>
#include <time.h>
#include <unistd.h>

/* How long it may take a run to end in order, s. */
enum { ORDER_PATIENCE = 10 };

static volatile sig_atomic_t first, first_at, ends_at_once, is_quiet,
    on_terminal;

/* Whole seconds by the clock: what a handler may ask for and keep. */
static sig_atomic_t seconds_now(void) {
  struct timespec time;
  clock_gettime(CLOCK_MONOTONIC, &time);
  return (sig_atomic_t) time.tv_sec;
}

static bv_status meaning(int number) {
  if (number == 0)
    return BV_OK;
  return number == SIGINT ? BV_INTERRUPTED : BV_TERMINATED;
}

static void tell(void) {
  static const char clear[] = "\r\033[K";
  static const char text[] = "ending in order; once more ends at once\n";
  if (on_terminal && write(STDERR_FILENO, clear, sizeof clear - 1) < 0)
    return;
  if (write(STDERR_FILENO, text, sizeof text - 1) < 0)
    return;
}

static void on_signal(int number) {
  int kept = errno;
  if (first || ends_at_once)
    _exit(bv_status_exit_code(meaning(number)));
  first = number;
  first_at = seconds_now();
  if (!is_quiet)
    tell();
  errno = kept;
}

/* A run started under nohup outlives its terminal. */
static bool is_ignored(int number) {
  struct sigaction action;
  return sigaction(number, NULL, &action) == 0 && action.sa_handler == SIG_IGN;
}

void bv_interrupt_mind(bool quiet) {
  static const int minded[] = {SIGINT, SIGTERM, SIGHUP, SIGUSR1};
  struct sigaction action = {.sa_handler = on_signal};
  is_quiet = quiet;
  on_terminal = isatty(STDERR_FILENO);
  sigemptyset(&action.sa_mask);
  for (size_t i = 0; i < sizeof minded / sizeof *minded; i++)
    if (minded[i] != SIGHUP || !is_ignored(SIGHUP))
      sigaction(minded[i], &action, NULL);
}

void bv_interrupt_at_once(bool at_once) {
  ends_at_once = at_once;
}

bv_status bv_interrupt_asked(void) {
  return meaning(first);
}

bool bv_interrupt_is_late(void) {
  return first && seconds_now() - first_at >= ORDER_PATIENCE;
}
