/* SPDX-License-Identifier: MIT */
/* Budgets and stops: how much is left, when it is over, and when a search that
 * was guided by relaxed models goes over to exact ones. */
#include <math.h>
#include <stdlib.h>

#include "search/hypervolume.h"
#include "search/plan.h"

/* Share of the budget spent on relaxed models where a problem has them. */
#define RELAXED_SHARE 0.8

/* Gain of the hypervolume over a window that counts as none. */
#define STAGNATION_GAIN 1e-4

/* Cells that may still confirm relaxed points after a stop. */
enum { CLOSING_CELLS = 64 };

uint64_t bv_budget_left(const bv_search *s) {
  if (s->state.stop != BV_STOP_RUNNING)
    return s->any_relaxed && s->closing < CLOSING_CELLS &&
                   s->relaxed.inexact > 0
               ? BV_LIST_SIZE
               : 0;
  uint64_t used = s->state.evaluations + s->promised;
  return used < s->options.evaluations ? s->options.evaluations - used : 0;
}

/* From now on only exact evaluations count, and the front is the guide. */
static void leave_relaxed(bv_search *s) {
  s->relaxing = false;
  s->guide = &s->front;
  *s->slopes = 0;
  if (s->any_relaxed)
    bv_population_clear(&s->population);
}

void bv_budget_stop(bv_search *s, bv_stop why) {
  s->state.stop = why;
  if (s->relaxing)
    leave_relaxed(s);
}

static double volume_of_guide(const bv_search *s, const double *reference) {
  double *points = bv_archive_copy_objectives(s->guide);
  double volume = bv_hypervolume(points, s->guide->count,
                                 s->problem->objectives, reference);
  free(points);
  return volume;
}

static bool stagnates(bv_search *s) {
  if (s->options.stagnation == 0 || s->state.evaluations < s->window_end)
    return false;
  double before = s->window_volume;
  double now = volume_of_guide(s, s->window_reference);
  bool none = before > 0 && now <= before * (1 + STAGNATION_GAIN);
  s->window_end = s->state.evaluations + s->options.stagnation;
  for (size_t j = 0; j < s->problem->objectives; j++)
    s->window_reference[j] = s->yardstick.reference[j];
  s->window_volume = volume_of_guide(s, s->window_reference);
  return none;
}

static bool target_reached(const bv_search *s) {
  return isfinite(s->options.hypervolume_target) &&
         bv_search_look(s).hypervolume >= s->options.hypervolume_target;
}

static bool exhausted(const bv_search *s) {
  return (double) s->seen[s->relaxing].count >= s->size &&
         s->planned == s->state.cells;
}

void bv_budget_judge(bv_search *s) {
  bool known = s->state.outcomes[BV_OUTCOME_EVALUATED] > 0;
  bool stale = stagnates(s), complete = exhausted(s);
  if (s->state.stop != BV_STOP_RUNNING)
    return;
  if (s->relaxing && bv_plan_started(s) && known && !s->any_relaxed)
    leave_relaxed(s);
  if (s->relaxing && ((double) s->state.evaluations >=
                          RELAXED_SHARE * (double) s->options.evaluations ||
                      ((stale || complete) && s->any_relaxed))) {
    leave_relaxed(s);
    return;
  }
  if (s->state.evaluations >= s->options.evaluations)
    bv_budget_stop(s, BV_STOP_EVALUATIONS);
  else if (target_reached(s))
    bv_budget_stop(s, BV_STOP_TARGET);
  else if (complete)
    bv_budget_stop(s, BV_STOP_EXHAUSTED);
  else if (stale)
    bv_budget_stop(s, BV_STOP_STAGNATION);
}
