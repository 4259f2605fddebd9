/* SPDX-License-Identifier: MIT */
#include "run/deadline.h"

#include <signal.h>
#include <string.h>
#include <sys/time.h>
#include <unistd.h>

#include "base/status.h"

static const char *volatile last_words;

static void on_time(int number) {
  (void) number;
  const char *text = last_words;
  ssize_t put = write(STDERR_FILENO, text, strlen(text));
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
  last_words = text;
  sigaction(SIGPROF, &action, NULL);
  set_timer(BV_DEADLINE);
}

void bv_deadline_end(void) {
  set_timer(0);
}
