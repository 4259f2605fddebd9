/* SPDX-License-Identifier: MIT */
#include "run/steer.h"

#include <math.h>

#include "run/clock.h"
#include "run/interrupt.h"

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
  double seconds = bv_clock() - s->started;
  const bv_steering *steering = s->steering;
  if (steering->look && !steering->look(steering->context, s->search, seconds))
    end(s, BV_STOP_ASKED);
}

static void mind_time_and_signals(steer *s) {
  if (bv_interrupt_asked() != BV_OK)
    end(s, BV_STOP_ASKED);
  else if (bv_clock() - s->started > s->steering->seconds)
    end(s, BV_STOP_SECONDS);
}

static bv_status take_in(steer *s, bv_error *error) {
  bv_answer answer;
  bool done;
  if (bv_pool_next(s->pool, PATIENCE, &answer, &done, error) != BV_OK)
    return BV_INTERNAL;
  if (!done)
    return BV_OK;
  bv_search_merge(s->search, answer.cell, answer.result);
  bv_pool_drop(s->pool);
  look(s);
  return BV_OK;
}

static bv_status run(steer *s, bv_error *error) {
  while (!bv_search_done(s->search)) {
    mind_time_and_signals(s);
    if (s->told_to_end && bv_clock() > s->leave)
      return bv_pool_clear(s->pool, error);
    if (hand_out(s, error) != BV_OK || take_in(s, error) != BV_OK)
      return BV_INTERNAL;
  }
  return BV_OK;
}

bv_status bv_steer(bv_search *search, bv_pool *pool,
                   const bv_steering *steering, bv_error *error) {
  steer s = {.search = search,
             .pool = pool,
             .steering = steering,
             .started = bv_clock()};
  bv_status status = run(&s, error);
  bv_cell_free(&s.cell);
  return status == BV_OK ? bv_interrupt_asked() : status;
}
