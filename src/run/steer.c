/* SPDX-License-Identifier: MIT */
#include "run/steer.h"

#include <math.h>

#include "run/clock.h"
#include "run/interrupt.h"
#include "run/replay.h"

/* How long work that is out may go on once the search is to end, s. */
static const double grace = 2;

/* How long to wait for an answer before looking at clock and signals, ms. */
enum { PATIENCE = 200 };

typedef struct steer {
  bv_search *search;
  bv_pool *pool;
  const bv_steering *steering;
  bv_cell cell;          /* planned last; its memory is used again */
  double started, leave; /* s; when to leave unfinished work behind */
  bool told_to_end;
} steer;

/* Takes every cell that is wanted before merging the next one: what is planned
 * must not depend on how fast answers come in. */
static bv_status hand_out(steer *s, bv_error *error) {
  while (!bv_pool_full(s->pool) && bv_search_wants(s->search)) {
    bv_search_take(s->search, &s->cell);
    if (bv_pool_post_cell(s->pool, &s->cell, error) != BV_OK)
      return BV_INTERNAL;
  }
  return BV_OK;
}

static void end(steer *s, bv_stop why) {
  if (s->told_to_end)
    return;
  s->told_to_end = true;
  s->leave = bv_clock() + grace;
  bv_search_stop(s->search, why);
}

static void look(steer *s) {
  const bv_steering *steering = s->steering;
  if (!steering->look)
    return;
  double seconds = bv_clock() - s->started;
  bv_verdict verdict = steering->look(steering->context, s->search, seconds);
  if (verdict != BV_GO_ON)
    end(s, BV_STOP_ASKED);
  if (verdict == BV_LEAVE)
    s->leave = 0;
}

static void mind_time_and_signals(steer *s) {
  if (bv_interrupt_asked() != BV_OK)
    end(s, BV_STOP_ASKED);
  else if (bv_clock() - s->started > s->steering->seconds)
    end(s, BV_STOP_SECONDS);
}

static bv_status keep(const steer *s, const bv_answer *answer,
                      bv_error *error) {
  const bv_keeper *keeper = s->steering->keeper;
  if (!keeper)
    return BV_OK;
  return keeper->keep(keeper->context, answer->cell, answer->result, error);
}

static bv_status take_in(steer *s, bv_error *error) {
  bv_answer answer;
  bool done;
  if (bv_pool_next(s->pool, PATIENCE, &answer, &done, error) != BV_OK)
    return BV_INTERNAL;
  if (!done)
    return BV_OK;
  bv_status status = keep(s, &answer, error);
  bv_search_merge(s->search, answer.cell, answer.result);
  bv_pool_drop(s->pool);
  look(s);
  return status;
}

static bv_status run(steer *s, bv_error *error) {
  while (!bv_search_done(s->search)) {
    mind_time_and_signals(s);
    if (s->told_to_end && bv_clock() > s->leave)
      return bv_pool_clear(s->pool, error);
    bv_status status = hand_out(s, error);
    if (status == BV_OK)
      status = take_in(s, error);
    if (status != BV_OK)
      return status;
  }
  return BV_OK;
}

/* Goes through the cells an earlier run has kept; what is planned beyond them
 * is handed out. */
static bv_status recall(steer *s, bv_error *error) {
  bv_replay replay;
  bv_status status =
      bv_replay_begin(&replay, s->search, s->steering->keeper, error);
  bool more = status == BV_OK;
  while (more && bv_interrupt_asked() == BV_OK && s->leave != 0) {
    status = bv_replay_step(&replay, &more, error);
    if (more)
      look(s);
  }
  if (status == BV_OK && !(s->told_to_end && s->leave == 0))
    status = bv_replay_post(&replay, s->pool, error);
  bv_replay_end(&replay);
  return status;
}

bv_status bv_steer(bv_search *search, bv_pool *pool,
                   const bv_steering *steering, bv_error *error) {
  steer s = {.search = search,
             .pool = pool,
             .steering = steering,
             .started = bv_clock(),
             .leave = HUGE_VAL};
  bv_status status = steering->keeper ? recall(&s, error) : BV_OK;
  if (status == BV_OK)
    status = run(&s, error);
  bv_cell_free(&s.cell);
  return status == BV_OK ? bv_interrupt_asked() : status;
}
