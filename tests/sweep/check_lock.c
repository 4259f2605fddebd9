/* SPDX-License-Identifier: MIT */
/* Who may write: a live lock is told from a stale one. */
#include "run/lock.h"

#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>

#include "check_main.h"
#include "run/clock.h"
#include "run/interrupt.h"
#include "temporary.h"

/* Watching another host's lock, s. */
static const double patience = 0.3;

static char *folder, *path;

static void enter(void) {
  folder = temporary_make();
  path = temporary_path(folder, "lock");
}

static void leave(void) {
  free(path);
  temporary_remove(folder);
}

static bv_status take(bv_lock *lock) {
  static bv_error error;
  return bv_lock_take(lock, path, patience, &error);
}

/* A child that holds the lock until it is killed. */
static pid_t holder(void) {
  int ends[2];
  char ready;
  ck_assert_int_eq(pipe(ends), 0);
  pid_t pid = fork();
  if (pid == 0) {
    bv_lock lock;
    if (take(&lock) == BV_OK)
      (void) !write(ends[1], "x", 1);
    for (;;)
      pause();
  }
  ck_assert_int_eq(read(ends[0], &ready, 1), 1);
  close(ends[0]);
  close(ends[1]);
  return pid;
}

static void end(pid_t pid) {
  kill(pid, SIGKILL);
  waitpid(pid, NULL, 0);
}

START_TEST(one_holds_it_at_a_time) {
  enter();
  bv_lock lock;
  char owner[512];
  pid_t pid = holder();
  ck_assert(take(&lock) == BV_LOCKED);
  ck_assert(bv_lock_is_held(path, owner, sizeof owner));
  end(pid);
  ck_assert(!bv_lock_is_held(path, owner, sizeof owner));
  ck_assert(take(&lock) == BV_OK);
  bv_lock_give(&lock);
  ck_assert_int_ne(access(path, F_OK), 0);
  leave();
}
END_TEST

/* Writes the line of this process, or one like it, without a record lock: what
 * is seen where a file system has none. */
static void write_owner(const char *host, long process, int start_off) {
  char here[256], boot[64], line[512];
  long pid;
  unsigned long long start;
  bv_lock lock;
  ck_assert(take(&lock) == BV_OK);
  ck_assert_int_eq(
      sscanf(lock.owner, "%255s %63s %ld %llu", here, boot, &pid, &start), 4);
  bv_lock_give(&lock);
  snprintf(line, sizeof line, "%s %s %ld %llu", host ? host : here, boot,
           process, start + (unsigned long long) start_off);
  free(temporary_write(folder, "lock", line, strlen(line)));
}

/* What a process of its own gets. */
static bv_status child_takes(void) {
  int code;
  pid_t pid = fork();
  if (pid == 0) {
    bv_lock lock;
    _exit((int) take(&lock));
  }
  waitpid(pid, &code, 0);
  return (bv_status) WEXITSTATUS(code);
}

START_TEST(a_process_is_known_by_number_and_start) {
  enter();
  write_owner(NULL, getpid(), 0);
  ck_assert(child_takes() == BV_LOCKED);
  write_owner(NULL, getpid(), 7); /* the number was given again */
  ck_assert(child_takes() == BV_OK);
  write_owner(NULL, 0x3fffffff, 0); /* no such process */
  ck_assert(child_takes() == BV_OK);
  leave();
}
END_TEST

/* A child that touches the file like a live owner elsewhere. */
static pid_t toucher(void) {
  pid_t pid = fork();
  while (pid == 0) {
    utimensat(AT_FDCWD, path, NULL, 0);
    usleep(20000);
  }
  return pid;
}

START_TEST(another_host_is_watched) {
  enter();
  bv_lock lock;
  char owner[512];
  write_owner("elsewhere", 1, 0);
  ck_assert(bv_lock_is_held(path, owner, sizeof owner)); /* touched just now */
  pid_t pid = toucher();
  ck_assert(take(&lock) == BV_LOCKED);
  end(pid);
  /* It stands still, whatever the clock says of it. */
  struct timespec ahead[2] = {{.tv_sec = 4000000000}, {.tv_sec = 4000000000}};
  ck_assert_int_eq(utimensat(AT_FDCWD, path, ahead, 0), 0);
  ck_assert(take(&lock) == BV_OK);
  bv_lock_give(&lock);
  leave();
}
END_TEST

START_TEST(a_lock_that_was_taken_over_is_lost) {
  enter();
  bv_lock lock;
  bv_error error;
  ck_assert(take(&lock) == BV_OK);
  ck_assert(bv_lock_check(&lock, &error) == BV_OK);
  free(temporary_write(folder, "lock", "elsewhere boot 1 1", 18));
  ck_assert(bv_lock_check(&lock, &error) == BV_LOCKED);
  ck_assert_ptr_nonnull(strstr(error.text, "process 1 on elsewhere"));
  bv_lock_give(&lock);
  ck_assert_int_eq(access(path, F_OK), 0); /* it is theirs */
  leave();
}
END_TEST

START_TEST(rubbish_is_no_owner) {
  enter();
  bv_lock lock;
  free(temporary_write(folder, "lock", "\0\xff rubbish\n", 11));
  ck_assert(take(&lock) == BV_OK);
  bv_lock_give(&lock);
  leave();
}
END_TEST

/* Another host would take over the lock of a sweep that stands still, and the
 * sweep minds signals and calls hooks meanwhile. */
START_TEST(an_owner_touches_its_lock_whatever_else_asks_for_alarms) {
  enter();
  bv_lock lock;
  struct stat about;
  struct timespec long_ago[2] = {{.tv_sec = 1000}, {.tv_sec = 1000}};
  ck_assert(take(&lock) == BV_OK);
  bv_interrupt_mind(true);
  alarm(100);
  alarm(0);
  ck_assert_int_eq(utimensat(AT_FDCWD, path, long_ago, 0), 0);
  ck_assert(stat(path, &about) == 0 && about.st_mtim.tv_sec == 1000);
  double most = bv_clock() + 10 * BV_LOCK_BEAT;
  while (about.st_mtim.tv_sec == 1000 && bv_clock() < most) {
    usleep(50000);
    ck_assert_int_eq(stat(path, &about), 0);
  }
  ck_assert(about.st_mtim.tv_sec > 1000);
  bv_lock_give(&lock);
  leave();
}
END_TEST

/* The program's own, so that a timer that was made may refuse to run. */
static bool timers_refuse;

int timer_settime(timer_t timer, int flags, const struct itimerspec *value,
                  struct itimerspec *before) {
  static int (*real)(timer_t, int, const struct itimerspec *,
                     struct itimerspec *);
  void *found = real ? NULL : dlsym(RTLD_NEXT, "timer_settime");
  if (found)
    memcpy(&real, &found, sizeof real);
  if (!timers_refuse)
    return real(timer, flags, value, before);
  errno = EINVAL;
  return -1;
}

/* No lock is left where status tells that nothing can touch it. */
static void expect_none(bv_status status, const bv_error *error) {
  bv_lock lock;
  ck_assert(status == BV_INTERNAL);
  ck_assert_ptr_nonnull(strstr(error->text, path));
  ck_assert_int_ne(access(path, F_OK), 0);
  ck_assert(take(&lock) == BV_OK);
  bv_lock_give(&lock);
}

START_TEST(a_lock_that_cannot_be_touched_is_not_left_behind) {
  enter();
  bv_lock lock;
  bv_error error = {0};
  struct rlimit before, none;
  ck_assert_int_eq(getrlimit(RLIMIT_SIGPENDING, &before), 0);
  none = before;
  none.rlim_cur = 0; /* no timer is to be had */
  ck_assert_int_eq(setrlimit(RLIMIT_SIGPENDING, &none), 0);
  bv_status status = bv_lock_take(&lock, path, patience, &error);
  ck_assert_int_eq(setrlimit(RLIMIT_SIGPENDING, &before), 0);
  expect_none(status, &error);
  leave();
}
END_TEST

/* Timers that exist at the moment (proc_pid_timers(5)); 0 on a kernel that
 * doesn't tell. */
static int count_timers(void) {
  char line[256];
  int count = 0;
  FILE *file = fopen("/proc/self/timers", "r");
  while (file && fgets(line, sizeof line, file))
    count += strncmp(line, "ID:", 3) == 0;
  if (file)
    fclose(file);
  return count;
}

START_TEST(a_timer_that_does_not_run_is_not_left_behind_either) {
  enter();
  bv_lock lock;
  bv_error error = {0};
  int timers = count_timers();
  timers_refuse = true;
  bv_status status = bv_lock_take(&lock, path, patience, &error);
  timers_refuse = false;
  ck_assert_int_eq(count_timers(), timers);
  expect_none(status, &error);
  leave();
}
END_TEST

/* A beat that was under way when the lock was given back. */
START_TEST(a_late_beat_touches_nothing) {
  enter();
  bv_lock lock;
  struct stat about;
  struct timespec long_ago[2] = {{.tv_sec = 1000}, {.tv_sec = 1000}};
  ck_assert(take(&lock) == BV_OK);
  int descriptor = lock.descriptor;
  bv_lock_give(&lock);
  char *other = temporary_path(folder, "other");
  ck_assert_int_eq(open(other, O_RDWR | O_CREAT, 0600), descriptor);
  ck_assert_int_eq(futimens(descriptor, long_ago), 0);
  raise(SIGRTMIN);
  ck_assert_int_eq(fstat(descriptor, &about), 0);
  ck_assert_int_eq(about.st_mtim.tv_sec, 1000);
  close(descriptor);
  free(other);
  leave();
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      one_holds_it_at_a_time,
      a_process_is_known_by_number_and_start,
      another_host_is_watched,
      a_lock_that_was_taken_over_is_lost,
      rubbish_is_no_owner,
      an_owner_touches_its_lock_whatever_else_asks_for_alarms,
      a_lock_that_cannot_be_touched_is_not_left_behind,
      a_timer_that_does_not_run_is_not_left_behind_either,
      a_late_beat_touches_nothing,
      NULL};
  return check_main("lock", tests);
}
