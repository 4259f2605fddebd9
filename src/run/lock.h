/* SPDX-License-Identifier: MIT */
/* Locks: a file that tells who writes here, so that nobody else does.
 *
 * The file holds one line, "HOST BOOT PROCESS START": the host's name, the id
 * of its boot, the process and when it was started (clock ticks after boot),
 * and its owner holds a POSIX record lock on it. Where record locks work (on
 * every local disk, and on NFS from version 4 on) they alone decide. Where they
 * don't, a process of this host is looked up by number and start; one of
 * another host is watched: a live owner touches its file every few seconds. */
#ifndef BV_RUN_LOCK_H
#define BV_RUN_LOCK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"

typedef struct bv_lock {
  int descriptor; /* -1: none is held */
  char path[4096];
  char owner[512]; /* the line in the file */
} bv_lock;

/* How often an owner touches its file, and how long another host's is watched
 * before it counts as dead, s. */
#define BV_LOCK_BEAT 5.0
#define BV_LOCK_PATIENCE 60.0

/* Takes the lock at path; a stale one is taken over. Only one lock a process is
 * touched at a time: the last taken. BV_LOCKED: a live process holds it (which
 * one is told). BV_CANNOT_CREATE. BV_INTERNAL: nothing is to be had to touch it
 * by. */
bv_status bv_lock_take(bv_lock *lock, const char *path, double patience,
                       bv_error *error);

/* BV_LOCKED where another process took the lock over, because this one looked
 * dead. */
bv_status bv_lock_check(const bv_lock *lock, bv_error *error);

/* Gives the lock back; a lock that isn't held is allowed. */
void bv_lock_give(bv_lock *lock);

/* True where a live process holds the lock at path; it isn't taken. `owner`
 * (size bytes) gets the line in the file, "" where there is none. A lock of
 * another host is live where it was touched within BV_LOCK_PATIENCE, by the
 * clock. Not to be asked about a lock of this process, which would lose it. */
bool bv_lock_is_held(const char *path, char *owner, size_t size);

#endif
