/* SPDX-License-Identifier: MIT */
#include "run/child.h"

#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <unistd.h>

/* The sanitizers reserve terabytes of address space: no limit under them. */
#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define LIMIT_MEMORY 0
#endif
#elif defined(__SANITIZE_ADDRESS__)
#define LIMIT_MEMORY 0
#endif
#ifndef LIMIT_MEMORY
#define LIMIT_MEMORY 1
#endif

/* Raises what the kernel judges by when it is short of memory, from -1000 to
 * 1000; where that can't be had, it goes by size alone. */
static void offer_to_kernel(void) {
  static const char badness[] = "300";
  int file = open("/proc/self/oom_score_adj", O_WRONLY | O_CLOEXEC);
  if (file < 0)
    return;
  (void) !write(file, badness, sizeof badness - 1);
  close(file);
}

/* The parent decides on signals, and its end is the end of its children. */
void bv_child_settle(pid_t parent, size_t memory_most) {
  static const int ignored[] = {SIGINT, SIGTERM, SIGHUP, SIGUSR1};
  for (size_t i = 0; i < sizeof ignored / sizeof *ignored; i++)
    signal(ignored[i], SIG_IGN);
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (getppid() != parent)
    _exit(EXIT_FAILURE);
  offer_to_kernel();
  struct rlimit none = {0, 0}, most = {memory_most, memory_most};
  setrlimit(RLIMIT_CORE, &none);
  if (LIMIT_MEMORY && memory_most > 0)
    setrlimit(RLIMIT_AS, &most);
}
