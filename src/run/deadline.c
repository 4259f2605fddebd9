/* SPDX-License-Identifier: MIT */
#include "run/deadline.h"

#include <limits.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/time.h>
#include <unistd.h>

#include "base/status.h"

/* Of its own: the signal may come from elsewhere at any time. */
static char last_words[PATH_MAX + 100];
static struct sigaction before;

static void on_time(int number) {
  (void) number;
  ssize_t put = write(STDERR_FILENO, last_words, strlen(last_words));
  (void) put;
  _exit(bv_status_exit_code(BV_BAD_DATA));
}

/* Processor time, so that a busy machine doesn't end what is well. */
static void set_timer(double seconds) {
  struct itimerval once = {.it_value = {.tv_sec = (time_t) seconds}};
  setitimer(ITIMER_PROF, &once, NULL);
}

void bv_deadline_begin(const char *text) {
  struct sigaction action = {.sa_handler = on_time};
  sigemptyset(&action.sa_mask);
  snprintf(last_words, sizeof last_words, "%s", text);
  sigaction(SIGPROF, &action, &before);
  set_timer(BV_DEADLINE);
}

void bv_deadline_end(void) {
  set_timer(0);
  sigaction(SIGPROF, &before, NULL);
}
