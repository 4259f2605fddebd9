/* SPDX-License-Identifier: MIT */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "run/board.h"
#include "run/child.h"
#include "script/study.h"

/* By how much a worker is nicer than its parent: all wait for that. */
enum { NICENESS = 5 };

/* What the worker has in hand. */
static bv_slot *in_hand;

/* Even numbers are between two evaluations: never late. */
static bool is_late(void) {
  return in_hand && atomic_load(&in_hand->late) == atomic_load(&in_hand->beats);
}

typedef struct watch {
  const bv_problem *problem;
  bv_slot *slot;
} watch;

static void beat(bv_slot *slot) {
  atomic_fetch_add_explicit(&slot->beats, 1, memory_order_release);
}

static bv_outcome evaluate_watched(void *context, bv_evaluation *evaluation) {
  watch *watched = context;
  const bv_problem *problem = watched->problem;
  beat(watched->slot);
  bv_outcome outcome = problem->evaluate(problem->context, evaluation);
  beat(watched->slot);
  return outcome;
}

static void run_cell(const bv_worker *worker, bv_slot *slot) {
  watch watched = {worker->problem, slot};
  bv_problem problem = *worker->problem;
  problem.evaluate = evaluate_watched;
  problem.context = &watched;
  bv_cell_run(&problem, &slot->cell, &slot->result);
}

static void run_point(const bv_worker *worker, bv_slot *slot) {
  bv_buffer reply = {0};
  beat(slot);
  slot->outcome = worker->options->describe(worker->options->describe_context,
                                            slot->x, &reply);
  beat(slot);
  if (reply.failed || reply.length > BV_REPLY_MOST) {
    slot->outcome = BV_OUTCOME_MEMORY;
    reply.length = 0;
  }
  if (reply.length > 0)
    memcpy(slot->reply, reply.text, reply.length);
  slot->reply[reply.length] = '\0';
  slot->reply_length = reply.length;
  bv_buffer_free(&reply);
}

/* Claims the oldest piece of work that nobody has; NULL: there is none. */
static bv_slot *claim(const bv_worker *worker) {
  bv_board *board = worker->board;
  uint64_t next = atomic_load(&board->next);
  for (uint64_t i = atomic_load(&board->first); i < next; i++) {
    atomic_uint *state = bv_board_state(board, i);
    unsigned queued = BV_SLOT_QUEUED;
    if (atomic_load(state) == queued &&
        atomic_compare_exchange_strong(state, &queued,
                                       BV_SLOT_RUNNING + worker->self))
      return bv_board_slot(board, i);
  }
  return NULL;
}

/* Sleeps until the bell rings. The flag is up before the queue is looked at
 * again, and the parent looks at it after posting: no ring is missed. */
static bv_slot *claim_or_sleep(const bv_worker *worker) {
  bv_slot *slot = claim(worker);
  if (slot)
    return slot;
  atomic_bool *asleep = &worker->board->asleep[worker->self];
  atomic_store(asleep, true);
  slot = claim(worker);
  uint64_t rings;
  if (!slot && read(worker->bell, &rings, sizeof rings) < 0)
    _exit(EXIT_FAILURE);
  atomic_store(asleep, false);
  return slot;
}

/* Wakes the parent only where it sleeps for this very piece of work. */
static void hand_in(const bv_worker *worker, const bv_slot *slot) {
  bv_board *board = worker->board;
  uint64_t awaited = slot->number + 1, one = 1;
  atomic_store(bv_board_state(board, slot->number), BV_SLOT_DONE);
  if (atomic_compare_exchange_strong(&board->awaited, &awaited, 0) &&
      write(worker->wake, &one, sizeof one) < 0)
    _exit(EXIT_FAILURE);
}

_Noreturn void bv_worker_live(const bv_worker *worker, int parent) {
  bv_child_settle(parent, worker->options->memory_most);
  bv_study_watch(is_late);
  (void) !nice(NICENESS);
  for (;;) {
    bv_slot *slot = claim_or_sleep(worker);
    if (!slot)
      continue;
    in_hand = slot;
    if (slot->is_point)
      run_point(worker, slot);
    else
      run_cell(worker, slot);
    in_hand = NULL;
    hand_in(worker, slot);
  }
}
