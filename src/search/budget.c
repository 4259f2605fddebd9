/* SPDX-License-Identifier: MIT */
/* Budgets and stops: how much is left, and when it is over. */
#include <math.h>
#include <stdlib.h>

#include "search/hypervolume.h"
#include "search/plan.h"

/* Gain of the hypervolume over a window that counts as none. */
#define STAGNATION_GAIN 1e-4

/* Every point of a finite space is evaluated or planned. */
static bool all_seen(const bv_search *s) {
  return (double) s->seen.count >= s->size;
}

uint64_t bv_budget_left(const bv_search *s) {
  uint64_t used = s->state.evaluations + s->promised;
  bool running = s->state.stop == BV_STOP_RUNNING && !all_seen(s);
  return running && used < s->options.evaluations
             ? s->options.evaluations - used
             : 0;
}

static double volume_of_front(const bv_search *s, const double *reference) {
  double *points = bv_archive_copy_objectives(&s->front);
  double volume = bv_hypervolume_told(points, s->front.count,
                                      s->problem->objectives, reference)
                      .value;
  free(points);
  return volume;
}

static bool stagnates(bv_search *s) {
  if (s->options.stagnation == 0 || s->state.evaluations < s->window_end)
    return false;
  double before = s->window_volume;
  double now = volume_of_front(s, s->window_reference);
  bool none = before > 0 && now <= before * (1 + STAGNATION_GAIN);
  s->window_end = s->state.evaluations + s->options.stagnation;
  for (size_t j = 0; j < s->problem->objectives; j++)
    s->window_reference[j] = s->yardstick.reference[j];
  s->window_volume = volume_of_front(s, s->window_reference);
  return none;
}

static bool target_reached(const bv_search *s) {
  return isfinite(s->options.hypervolume_target) &&
         bv_search_look(s).hypervolume >= s->options.hypervolume_target;
}

static bool exhausted(const bv_search *s) {
  return all_seen(s) && s->planned == s->state.cells;
}

void bv_budget_judge(bv_search *s) {
  if (s->state.stop != BV_STOP_RUNNING)
    return;
  if (s->state.evaluations >= s->options.evaluations)
    s->state.stop = BV_STOP_EVALUATIONS;
  else if (target_reached(s))
    s->state.stop = BV_STOP_TARGET;
  else if (exhausted(s))
    s->state.stop = BV_STOP_EXHAUSTED;
  else if (stagnates(s))
    s->state.stop = BV_STOP_STAGNATION;
}
