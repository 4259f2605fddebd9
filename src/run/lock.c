/* SPDX-License-Identifier: MIT */
#include "run/lock.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "run/clock.h"

/* Who holds a lock, as its line tells. */
typedef struct owner {
  char host[256], boot[64];
  long process;
  unsigned long long start; /* clock ticks after boot */
} owner;

/* Looking at processes */

/* When a process was started; 0 where there is none. */
static unsigned long long start_of(long process) {
  char path[64], text[1024];
  snprintf(path, sizeof path, "/proc/%ld/stat", process);
  FILE *file = fopen(path, "re");
  size_t got = file ? fread(text, 1, sizeof text - 1, file) : 0;
  if (file)
    fclose(file);
  text[got] = '\0';
  /* The name in the second field may hold blanks and brackets. */
  const char *rest = strrchr(text, ')');
  unsigned long long start = 0;
  char state = 'X';
  if (!rest ||
      sscanf(rest,
             ") %c %*s %*s %*s %*s %*s %*s %*s %*s %*s %*s %*s %*s %*s %*s "
             "%*s %*s %*s %*s %llu",
             &state, &start) != 2 ||
      state == 'Z' || state == 'X')
    return 0;
  return start;
}

static void read_boot(char *boot, size_t size) {
  FILE *file = fopen("/proc/sys/kernel/random/boot_id", "re");
  snprintf(boot, size, "unknown");
  if (file && fgets(boot, (int) size, file))
    boot[strcspn(boot, "\n")] = '\0';
  if (file)
    fclose(file);
}

static owner myself(void) {
  owner me = {.process = getpid(), .start = start_of(getpid())};
  if (gethostname(me.host, sizeof me.host - 1) != 0 || !*me.host)
    snprintf(me.host, sizeof me.host, "unknown");
  read_boot(me.boot, sizeof me.boot);
  return me;
}

static bool read_owner(const char *line, owner *o) {
  return sscanf(line, "%255s %63s %ld %llu", o->host, o->boot, &o->process,
                &o->start) == 4;
}

/* The file */

static void read_line(int descriptor, char *line, size_t size) {
  ssize_t got = pread(descriptor, line, size - 1, 0);
  line[got > 0 ? got : 0] = '\0';
  line[strcspn(line, "\n")] = '\0';
}

static bool lock_record(int descriptor) {
  struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
  return fcntl(descriptor, F_SETLK, &whole) == 0 ||
         (errno != EACCES && errno != EAGAIN);
}

/* True where the name still stands for the open file. */
static bool is_named(int descriptor, const char *path) {
  struct stat here, there;
  return fstat(descriptor, &here) == 0 && stat(path, &there) == 0 &&
         here.st_ino == there.st_ino && here.st_dev == there.st_dev;
}

/* Watches whether the file is touched; any change of its time will do, so that
 * no clock needs to be right. */
static bool is_touched(const char *path, double patience) {
  struct stat first, now;
  struct timespec pause = {.tv_nsec = 50000000};
  bool known = stat(path, &first) == 0;
  for (double begun = bv_clock(); known && bv_clock() - begun < patience;) {
    nanosleep(&pause, NULL);
    /* Opening asks a network file system for news. */
    int descriptor = open(path, O_RDONLY | O_CLOEXEC);
    if (descriptor >= 0)
      close(descriptor);
    known = stat(path, &now) == 0;
    if (known && (now.st_mtim.tv_sec != first.st_mtim.tv_sec ||
                  now.st_mtim.tv_nsec != first.st_mtim.tv_nsec))
      return true;
  }
  return false;
}

static bool is_mine(const owner *o, const owner *me) {
  return strcmp(o->host, me->host) == 0 && o->process == me->process &&
         o->start == me->start;
}

static bool is_running(const owner *o, const owner *me) {
  return strcmp(o->boot, me->boot) == 0 && o->start != 0 &&
         start_of(o->process) == o->start;
}

/* Judges by the line alone; for another host, by watching. */
static bool is_alive(const char *line, const char *path, double patience) {
  owner o, me = myself();
  if (!read_owner(line, &o) || is_mine(&o, &me))
    return false;
  if (strcmp(o.host, me.host) != 0)
    return is_touched(path, patience);
  return is_running(&o, &me);
}

static bv_status locked(const char *path, const char *line, bv_error *error) {
  owner o;
  if (read_owner(line, &o))
    return bv_fail(error, BV_LOCKED, "%s: process %ld on %s writes here", path,
                   o.process, o.host);
  return bv_fail(error, BV_LOCKED, "%s: another process writes here", path);
}

/* Touching */

static volatile sig_atomic_t touched = -1;

static void touch(int number) {
  (void) number;
  int kept = errno;
  (void) futimens(touched, NULL);
  errno = kept;
}

static timer_t beat;
static bool beats;

static void touch_no_more(void) {
  if (beats)
    timer_delete(beat);
  beats = false;
  touched = -1; /* for a signal that is under way */
}

/* By a timer and a signal of its own: the alarm is interrupt.c's. */
static bv_status touch_from_now_on(const bv_lock *lock, bv_error *error) {
  struct sigaction action = {.sa_handler = touch, .sa_flags = SA_RESTART};
  struct sigevent event = {.sigev_notify = SIGEV_SIGNAL,
                           .sigev_signo = SIGRTMIN};
  time_t seconds = (time_t) BV_LOCK_BEAT;
  struct itimerspec every = {{seconds, 0}, {seconds, 0}};
  sigemptyset(&action.sa_mask);
  touch_no_more();
  touched = lock->descriptor;
  sigaction(SIGRTMIN, &action, NULL);
  beats = timer_create(CLOCK_MONOTONIC, &event, &beat) == 0;
  if (beats && timer_settime(beat, 0, &every, NULL) == 0)
    return BV_OK;
  return bv_fail(error, BV_INTERNAL, "%s: no timer to touch it by: %s",
                 lock->path, strerror(errno));
}

/* Taking */

static bv_status write_owner(bv_lock *lock, bv_error *error) {
  owner me = myself();
  int length = snprintf(lock->owner, sizeof lock->owner, "%s %s %ld %llu",
                        me.host, me.boot, me.process, me.start);
  if (ftruncate(lock->descriptor, 0) == 0 &&
      pwrite(lock->descriptor, lock->owner, (size_t) length, 0) == length &&
      fsync(lock->descriptor) == 0)
    return BV_OK;
  return bv_fail(error, BV_CANNOT_WRITE, "%s: %s", lock->path, strerror(errno));
}

/* Holds the file, or tells who does; *again where it was taken away just now.
 */
static bv_status try_to_take(bv_lock *lock, double patience, bool *again,
                             bv_error *error) {
  char line[sizeof lock->owner];
  lock->descriptor = open(lock->path, O_RDWR | O_CREAT | O_CLOEXEC, 0666);
  if (lock->descriptor < 0)
    return bv_fail(error, BV_CANNOT_CREATE, "%s: %s", lock->path,
                   strerror(errno));
  read_line(lock->descriptor, line, sizeof line);
  if (!lock_record(lock->descriptor))
    return locked(lock->path, line, error);
  *again = !is_named(lock->descriptor, lock->path);
  if (*again)
    return BV_OK;
  read_line(lock->descriptor, line, sizeof line);
  if (is_alive(line, lock->path, patience))
    return locked(lock->path, line, error);
  return write_owner(lock, error);
}

static void let_go(bv_lock *lock) {
  if (lock->descriptor >= 0)
    close(lock->descriptor);
  lock->descriptor = -1;
}

bv_status bv_lock_take(bv_lock *lock, const char *path, double patience,
                       bv_error *error) {
  bool again = true;
  bv_status status = BV_OK;
  *lock = (bv_lock){.descriptor = -1};
  size_t length = strlen(path);
  if (length >= sizeof lock->path)
    return bv_fail(error, BV_CANNOT_CREATE, "%s: path too long", path);
  memcpy(lock->path, path, length + 1);
  while (status == BV_OK && again) {
    let_go(lock);
    again = false;
    status = try_to_take(lock, patience, &again, error);
  }
  if (status != BV_OK) {
    let_go(lock);
    return status;
  }
  status = touch_from_now_on(lock, error);
  if (status != BV_OK)
    bv_lock_give(lock);
  return status;
}

bv_status bv_lock_check(const bv_lock *lock, bv_error *error) {
  char line[sizeof lock->owner];
  read_line(lock->descriptor, line, sizeof line);
  if (strcmp(line, lock->owner) == 0 && is_named(lock->descriptor, lock->path))
    return BV_OK;
  return locked(lock->path, line, error);
}

void bv_lock_give(bv_lock *lock) {
  bv_error ignored;
  if (lock->descriptor < 0)
    return;
  touch_no_more();
  /* The name goes while the lock is held: who opened the file in between sees
   * that it has no name any more. */
  if (bv_lock_check(lock, &ignored) == BV_OK)
    unlink(lock->path);
  let_go(lock);
}

/* True where the file was touched of late, by the clock. */
static bool is_fresh(int descriptor) {
  struct stat about;
  return fstat(descriptor, &about) == 0 &&
         difftime(time(NULL), about.st_mtim.tv_sec) < BV_LOCK_PATIENCE;
}

bool bv_lock_is_held(const char *path, char *line, size_t size) {
  owner o, me = myself();
  *line = '\0';
  int descriptor = open(path, O_RDONLY | O_CLOEXEC);
  if (descriptor < 0)
    return false;
  read_line(descriptor, line, size);
  bool fresh = is_fresh(descriptor);
  close(descriptor);
  if (!read_owner(line, &o))
    return false;
  return strcmp(o.host, me.host) == 0 ? is_running(&o, &me) : fresh;
}
