/* SPDX-License-Identifier: MIT */
/* What every process that is forked from a run begins with. */
#ifndef BV_RUN_CHILD_H
#define BV_RUN_CHILD_H

#include <stddef.h>
#include <sys/types.h>

/* Leaves signals to the parent, ends with it, writes no core, and takes at most
 * so many bytes of address space (0: no limit). A system short of memory ends
 * it before its parent. */
void bv_child_settle(pid_t parent, size_t memory_most);

#endif
