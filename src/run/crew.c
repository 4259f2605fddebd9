/* SPDX-License-Identifier: MIT */
#include "run/crew.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/eventfd.h>
#include <sys/wait.h>
#include <unistd.h>

#include "run/clock.h"

/* How often evaluations are looked at, s. */
static const double glance = 0.05;

/* What a script that is late has to end itself, s. */
static const double grace = 0.25;

/* Workers that may die in a row without any work in hand. */
enum { IDLE_DEATHS_MOST = 100 };

/* A lifeline is a pipe whose writing end the worker alone holds: the end of the
 * worker is the end of the pipe. */
static bv_status spawn(bv_crew *crew, size_t i, bv_error *error) {
  bv_worker worker = crew->common;
  int line[2];
  worker.self = (unsigned) i;
  worker.bell = crew->members[i].bell;
  atomic_store(&worker.board->asleep[i], false);
  if (pipe2(line, O_CLOEXEC) != 0)
    return bv_fail(error, BV_INTERNAL, "cannot watch a worker process: %s",
                   strerror(errno));
  pid_t parent = getpid(), pid = fork();
  if (pid == 0) {
    close(line[0]);
    bv_worker_live(&worker, parent);
  }
  close(line[1]);
  if (pid < 0) {
    bv_fail(error, BV_INTERNAL, "cannot start a worker process: %s",
            strerror(errno));
    close(line[0]);
    return BV_INTERNAL;
  }
  crew->members[i].pid = pid;
  crew->members[i].condemned = false;
  crew->watched[i + 1] = (struct pollfd){.fd = line[0], .events = POLLIN};
  return BV_OK;
}

/* Ends a worker, unless it is dead; true where SIGKILL ended it. */
static bool bury(bv_crew *crew, size_t i) {
  int how = 0;
  if (crew->members[i].pid == 0)
    return false;
  kill(crew->members[i].pid, SIGKILL);
  while (waitpid(crew->members[i].pid, &how, 0) < 0 && errno == EINTR)
    continue;
  close(crew->watched[i + 1].fd);
  crew->watched[i + 1].fd = -1;
  crew->members[i].pid = 0;
  return WIFSIGNALED(how) && WTERMSIG(how) == SIGKILL;
}

/* Descriptors of a wake and of a bell a member; -1 where there was none. */
static bool open_bells(bv_crew *crew) {
  size_t jobs = crew->common.options->jobs;
  crew->common.wake = eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK);
  crew->watched[0].fd = crew->common.wake;
  crew->watched[0].events = POLLIN;
  bool opened = crew->common.wake >= 0;
  for (size_t i = 0; i < jobs; i++) {
    crew->members[i].bell = opened ? eventfd(0, EFD_CLOEXEC) : -1;
    opened = crew->members[i].bell >= 0;
  }
  return opened;
}

bv_status bv_crew_start(bv_crew *crew, bv_error *error) {
  size_t jobs = crew->common.options->jobs;
  crew->members = calloc(jobs, sizeof *crew->members);
  crew->watched = calloc(jobs + 1, sizeof *crew->watched);
  crew->looked = bv_clock();
  if (!crew->members || !crew->watched || !open_bells(crew))
    return bv_fail(error, BV_INTERNAL, "cannot set up workers: %s",
                   strerror(errno));
  for (size_t i = 0; i < jobs; i++)
    if (spawn(crew, i, error) != BV_OK)
      return BV_INTERNAL;
  return BV_OK;
}

void bv_crew_end(bv_crew *crew) {
  if (crew->members && crew->watched) {
    for (size_t i = 0; i < crew->common.options->jobs; i++) {
      bury(crew, i);
      if (crew->members[i].bell >= 0)
        close(crew->members[i].bell);
    }
    if (crew->common.wake >= 0)
      close(crew->common.wake);
  }
  free(crew->members);
  free(crew->watched);
}

void bv_crew_ring(bv_crew *crew) {
  uint64_t one = 1;
  for (size_t i = 0; i < crew->common.options->jobs; i++)
    if (atomic_exchange(&crew->common.board->asleep[i], false)) {
      /* A counter that is full wakes the worker as well. */
      (void) !write(crew->members[i].bell, &one, sizeof one);
      return;
    }
}

/* The piece of work a worker has in hand, or NULL. */
static bv_slot *in_hand(const bv_crew *crew, size_t member) {
  bv_board *board = crew->common.board;
  uint64_t next = atomic_load(&board->next);
  for (uint64_t i = atomic_load(&board->first); i < next; i++)
    if (atomic_load(bv_board_state(board, i)) == BV_SLOT_RUNNING + member)
      return bv_board_slot(board, i);
  return NULL;
}

/* The cell goes on after the point that failed. One whose worker dies between
 * two evaluations gets a second chance, then ends with what it has. */
static unsigned fate_of_cell(const bv_problem *problem, bv_slot *slot,
                             bool inside, bv_outcome outcome) {
  slot->result.note_length = 0;
  if (inside)
    bv_record_fail(problem, &slot->result, outcome);
  else if (++slot->orphaned == 2)
    return BV_SLOT_DONE;
  return BV_SLOT_QUEUED;
}

static unsigned fate_of_point(bv_slot *slot, bv_outcome outcome) {
  slot->outcome = outcome;
  slot->reply_length = 0;
  slot->reply[0] = '\0';
  return BV_SLOT_DONE;
}

/* A worker killed from outside, by a person or by a system short of memory, is
 * no fault of its point, unless that point has its worker killed once more. */
static bool pardon(bv_slot *slot) {
  uint64_t here = 1 + slot->result.count;
  bool again = slot->pardoned == here;
  slot->pardoned = here;
  return !again;
}

/* Settles what a dead worker had in hand. One that was condemned for an
 * evaluation which ended at the last moment failed nothing: that work is done
 * again from where its log stands. */
static void settle(bv_crew *crew, const bv_member *dead, bool killed,
                   bv_slot *slot) {
  uint64_t beats = atomic_load(&slot->beats);
  bool innocent = dead->condemned
                      ? slot->number != dead->work || beats != dead->at_beats
                      : killed && pardon(slot);
  bv_outcome outcome = dead->condemned ? BV_OUTCOME_TIMEOUT : BV_OUTCOME_CRASH;
  unsigned fate = BV_SLOT_QUEUED;
  if (!innocent)
    fate = slot->is_point ? fate_of_point(slot, outcome)
                          : fate_of_cell(crew->common.problem, slot,
                                         beats % 2 == 1, outcome);
  atomic_store(&slot->beats, 0);
  slot->beats_seen = 0;
  slot->stalled = 0;
  atomic_store(bv_board_state(crew->common.board, slot->number), fate);
}

/* Starts another worker in the place of one that died. */
static bv_status replace(bv_crew *crew, size_t member, bv_error *error) {
  bv_member dead = crew->members[member];
  bool killed = bury(crew, member);
  bv_slot *slot = in_hand(crew, member);
  crew->replaced++;
  crew->idle_deaths = slot ? 0 : crew->idle_deaths + 1;
  if (crew->idle_deaths > IDLE_DEATHS_MOST)
    return bv_fail(error, BV_INTERNAL, "worker processes die without work");
  if (slot)
    settle(crew, &dead, killed, slot);
  bv_status status = spawn(crew, member, error);
  bv_crew_ring(crew);
  return status;
}

bv_status bv_crew_abandon(bv_crew *crew, bv_error *error) {
  for (size_t i = 0; i < crew->common.options->jobs; i++) {
    if (!in_hand(crew, i))
      continue;
    bury(crew, i);
    bv_slot *slot = in_hand(crew, i);
    if (slot)
      atomic_store(bv_board_state(crew->common.board, slot->number),
                   BV_SLOT_DONE);
    if (spawn(crew, i, error) != BV_OK)
      return BV_INTERNAL;
  }
  return BV_OK;
}

bv_status bv_crew_sleep(bv_crew *crew, int milliseconds, bool *signalled,
                        bv_error *error) {
  size_t jobs = crew->common.options->jobs;
  int most = (int) (1000 * glance);
  int ready =
      poll(crew->watched, jobs + 1, milliseconds < most ? milliseconds : most);
  *signalled = ready < 0 && errno == EINTR;
  if (ready < 0 && !*signalled)
    return bv_fail(error, BV_INTERNAL, "cannot wait for workers: %s",
                   strerror(errno));
  if (ready <= 0)
    return BV_OK;
  uint64_t wakes;
  if (crew->watched[0].revents &&
      read(crew->common.wake, &wakes, sizeof wakes) < 0)
    wakes = 0;
  for (size_t i = 0; i < jobs; i++)
    if (crew->watched[i + 1].revents && replace(crew, i, error) != BV_OK)
      return BV_INTERNAL;
  return BV_OK;
}

static void condemn(bv_crew *crew, size_t member, const bv_slot *slot) {
  bv_member *worker = &crew->members[member];
  worker->condemned = true;
  worker->work = slot->number;
  worker->at_beats = slot->beats_seen;
  kill(worker->pid, SIGKILL);
}

static void watch_slot(bv_crew *crew, size_t member, bv_slot *slot,
                       double passed) {
  uint64_t beats = atomic_load(&slot->beats);
  slot->stalled = beats == slot->beats_seen ? slot->stalled + passed : 0;
  slot->beats_seen = beats;
  double most = crew->common.options->point_seconds;
  if (slot->stalled > most)
    atomic_store(&slot->late, beats);
  if (slot->stalled > most + grace && !crew->members[member].condemned)
    condemn(crew, member, slot);
}

void bv_crew_watch(bv_crew *crew) {
  double time = bv_clock(), passed = time - crew->looked;
  if (passed < glance)
    return;
  crew->looked = time;
  /* A parent that was itself stopped must not blame its workers for it. */
  passed = passed < 2 * glance ? passed : 2 * glance;
  bv_board *board = crew->common.board;
  uint64_t next = atomic_load(&board->next);
  for (uint64_t i = atomic_load(&board->first); i < next; i++) {
    unsigned state = atomic_load(bv_board_state(board, i));
    if (state >= BV_SLOT_RUNNING)
      watch_slot(crew, state - BV_SLOT_RUNNING, bv_board_slot(board, i),
                 passed);
  }
}
