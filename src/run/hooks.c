/* SPDX-License-Identifier: MIT */
#include "run/hooks.h"

#include "run/interrupt.h"

/* Merged cells a round. */
enum { ROUND = 32 };

static void note_failure(bv_hooks *hooks, bv_study *study, bv_outcome outcome) {
  if (outcome != BV_OUTCOME_EVALUATED)
    bv_buffer_print(&hooks->failures, "a hook of the script failed: %s\n",
                    bv_study_last_error(study));
}

static size_t best_on_front(const bv_search *search, size_t front,
                            size_t objective) {
  size_t best = 0;
  for (size_t i = 1; i < front; i++)
    if (bv_search_front(search, i).objectives[objective] <
        bv_search_front(search, best).objectives[objective])
      best = i;
  return best;
}

static bool call_on_best(bv_hooks *hooks, bv_study *study,
                         const bv_search *search, size_t front, size_t i) {
  bool stop = false;
  bv_point point = bv_search_front(search, best_on_front(search, front, i));
  double value = point.objectives[i];
  if (hooks->known[i] && value >= hooks->best[i])
    return true;
  hooks->known[i] = true;
  hooks->best[i] = value;
  note_failure(hooks, study, bv_study_on_best(study, i, point.x, value, &stop));
  return !stop;
}

static bool call_on_round(bv_hooks *hooks, bv_study *study,
                          const bv_search_state *state) {
  bool stop = false;
  bv_progress progress = {.round = ++hooks->rounds,
                          .evaluations = state->evaluations,
                          .feasible = state->feasible,
                          .front = state->front,
                          .hypervolume = state->hypervolume};
  note_failure(hooks, study, bv_study_on_round(study, &progress, &stop));
  return !stop;
}

bool bv_hooks_call(bv_hooks *hooks, bv_study *study, const bv_search *search) {
  if (++hooks->merges % ROUND != 0 || !bv_study_has_hooks(study))
    return true;
  bv_search_state state = bv_search_look(search);
  bv_interrupt_enter_script();
  bool go_on = call_on_round(hooks, study, &state);
  for (size_t i = 0; i < bv_study_problem(study)->objectives; i++)
    if (state.front > 0)
      go_on = call_on_best(hooks, study, search, state.front, i) && go_on;
  bv_interrupt_leave_script();
  return go_on;
}

void bv_hooks_report(bv_hooks *hooks, bv_buffer *text) {
  if (hooks->failures.text)
    bv_buffer_append(text, hooks->failures.text, hooks->failures.length);
  bv_buffer_free(&hooks->failures);
}
