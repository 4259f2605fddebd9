/* SPDX-License-Identifier: MIT */
/* onward: a point of the front goes on in the direction away from one like it
 * that the front has left behind (such differences: J. Zhang, A. Sanderson,
 * "JADE", IEEE Trans. Evol. Comput. 13(5), 2009). What fills a front goes along
 * it; this goes ahead, where gradients tell nothing, and puts variables on the
 * ends of their ranges. */
#include <math.h>

#include "base/number.h"
#include "search/near.h"
#include "search/vary.h"

/* Points left behind that are needed for a like one to be among them; those
 * looked at for the one most alike. */
enum { OUTDONE_LEAST = 50, RIVALS = 30 };

/* Length of a step: its median, as a part of the way that led to the front, and
 * the deviation of its logarithm. */
#define PART 0.5
#define SPREAD 0.7

/* With three and more objectives hardly a point is better in all of them, and
 * what drives others off does so by chance: nothing is gained there. */
static bv_turn onward_turn(const bv_search *s) {
  return bv_plan_started(s) && s->movable > 0 && s->front.count > 0 &&
                 s->problem->objectives <= 2 &&
                 bv_outdone_held(&s->outdone) >= OUTDONE_LEAST
             ? BV_TURN_SHARE
             : BV_TURN_NONE;
}

/* Of a few that were left behind the one most alike. */
static const double *alike(const bv_outdone *outdone, const double *units,
                           bv_random *random) {
  const double *best = NULL;
  double least = HUGE_VAL;
  for (int k = 0; k < RIVALS; k++) {
    const double *other = bv_outdone_units(
        outdone, bv_random_below(random, bv_outdone_held(outdone)));
    double sum = 0;
    for (size_t i = 0; i < outdone->variables; i++)
      sum += (units[i] - other[i]) * (units[i] - other[i]);
    if (!best || sum < least) {
      least = sum;
      best = other;
    }
  }
  return best;
}

static void go_on(const bv_search *s, bv_random *random, double *x) {
  const bv_space *space = &s->problem->space;
  size_t slot = bv_near_lonely(s, random);
  const double *here = bv_archive_units(&s->front, slot);
  const double *left = alike(&s->outdone, here, random);
  double length = PART * exp(SPREAD * bv_random_normal(random));
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    double unit = here[i] + length * (here[i] - left[i]);
    x[i] = bv_variable_is_discrete(v)
               ? bv_archive_x(&s->front, slot)[i]
               : bv_variable_decode(v, bv_between(unit, 0, 1));
  }
}

static bool onward_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  return bv_vary_list(s, random, cell, go_on);
}

const bv_operator bv_operator_onward = {.name = "onward",
                                        .turn = onward_turn,
                                        .plan = onward_plan,
                                        .run = bv_run_list};
