/* SPDX-License-Identifier: MIT */
#include "run/child.h"

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

/* The parent decides on signals, and its end is the end of its children. */
void bv_child_settle(pid_t parent, size_t memory_most) {
  static const int ignored[] = {SIGINT, SIGTERM, SIGHUP, SIGUSR1};
  for (size_t i = 0; i < sizeof ignored / sizeof *ignored; i++)
    signal(ignored[i], SIG_IGN);
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (getppid() != parent)
    _exit(EXIT_FAILURE);
  struct rlimit none = {0, 0}, most = {memory_most, memory_most};
  setrlimit(RLIMIT_CORE, &none);
  if (LIMIT_MEMORY && memory_most > 0)
    setrlimit(RLIMIT_AS, &most);
}
