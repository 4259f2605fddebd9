/* SPDX-License-Identifier: MIT */
/* A deadline's last words, and what it leaves behind. */
#include "run/deadline.h"

#include <signal.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/status.h"
#include "check_main.h"

/* The caller's text is gone by the time it is told. */
static void run_out(int errors) {
  char text[] = "too long\n";
  dup2(errors, STDERR_FILENO);
  bv_deadline_begin(text);
  memset(text, '?', sizeof text - 1);
  raise(SIGPROF);
  _exit(0);
}

START_TEST(the_last_words_are_those_that_were_given) {
  int ends[2], status;
  char told[64] = "";
  ck_assert_int_eq(pipe(ends), 0);
  pid_t pid = fork();
  if (pid == 0)
    run_out(ends[1]);
  ck_assert_int_eq(waitpid(pid, &status, 0), pid);
  ck_assert_int_gt(read(ends[0], told, sizeof told - 1), 0);
  ck_assert_str_eq(told, "too long\n");
  ck_assert(WIFEXITED(status));
  ck_assert_int_eq(WEXITSTATUS(status), bv_status_exit_code(BV_BAD_DATA));
  close(ends[0]);
  close(ends[1]);
}
END_TEST

START_TEST(its_signal_is_as_it_was_afterwards) {
  struct sigaction action;
  signal(SIGPROF, SIG_IGN);
  bv_deadline_begin("too long\n");
  bv_deadline_end();
  ck_assert_int_eq(sigaction(SIGPROF, NULL, &action), 0);
  ck_assert(action.sa_handler == SIG_IGN);
  signal(SIGPROF, SIG_DFL);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {the_last_words_are_those_that_were_given,
                                its_signal_is_as_it_was_afterwards, NULL};
  return check_main("workers/deadline", tests);
}
