/* SPDX-License-Identifier: MIT */
/* A search that runs out of memory: what was seen is forgotten, anything else
 * ends the process with a message. */
#include "search/memory.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check_main.h"
#include "search/seen.h"

/* The sanitizers need address space without limit. */
#if defined(__SANITIZE_ADDRESS__)
#define LIMITED 0
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define LIMITED 0
#endif
#endif
#ifndef LIMITED
#define LIMITED 1
#endif

static void limit_memory(rlim_t bytes) {
  struct rlimit most = {bytes, bytes};
  ck_assert_int_eq(setrlimit(RLIMIT_AS, &most), 0);
}

/* In a child, whose limit is its own: the code it ends with. */
static int run_in_child(int (*body)(void)) {
  pid_t child = fork();
  ck_assert_int_ge(child, 0);
  if (child == 0)
    _exit(body());
  int how;
  ck_assert_int_eq(waitpid(child, &how, 0), child);
  return WIFEXITED(how) ? WEXITSTATUS(how) : -1;
}

static int see_many(void) {
  bv_seen seen = {0};
  limit_memory((rlim_t) 64 << 20);
  for (int i = 0; i < 8000000; i++) {
    double x = i;
    if (!bv_seen_add(&seen, &x, 1))
      return 2;
  }
  double last = 7999999;
  return bv_seen_add(&seen, &last, 1) ? 3 : 0;
}

static int ask_for_more(void) {
  limit_memory((rlim_t) 64 << 20);
  if (!freopen("/dev/null", "w", stderr))
    return 2;
  free(bv_allocate(1 << 20, 1 << 10));
  return 0;
}

START_TEST(what_was_seen_is_forgotten) {
  if (LIMITED)
    ck_assert_int_eq(run_in_child(see_many), 0);
}
END_TEST

START_TEST(anything_else_ends_the_process) {
  if (LIMITED)
    ck_assert_int_eq(run_in_child(ask_for_more), 70);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {what_was_seen_is_forgotten,
                                anything_else_ends_the_process, NULL};
  return check_main("search/memory", tests);
}
