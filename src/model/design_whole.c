/* SPDX-License-Identifier: MIT */
/* From relaxed turns to a design that can be wound: whole turns, wire of the
 * catalogue, a gap in whole steps.
 *
 * Layers fill better or worse with each turn, so some numbers of turns are
 * tried, from the fewest that flux allows to somewhat more than relaxed turns
 * would be, and the loss of a charge decides among those that fit the window
 * and keep the voltage between layers. The primary's turns are rounded up, the
 * sections' to nearest or, where layers then fill much better, a turn or two
 * beside. */
#include <math.h>

#include "model/design_build.h"

/* Sections, parts, windings and inductance for whole primary turns, each
 * section with some turns beside what the ratio asks for. */
static bv_reason settle(bv_build *build, double beside) {
  double sections = build->choice->sections;
  double wanted = build->primary_turns * build->choice->turns_ratio / sections;
  build->section_turns = bv_most(1, round(wanted) + beside);
  build->ratio = build->section_turns * sections / build->primary_turns;
  bv_reason reason = bv_build_ratings(build);
  if (reason != BV_REASON_OK)
    return reason;
  bv_build_room(build);
  bv_build_windings(build);
  for (int i = 0; i < 12; i++) {
    bv_build_core_share(build);
    build->inductance = bv_build_better_inductance(build, build->inductance);
  }
  return BV_REASON_OK;
}

/* The gap in whole steps that keeps the flux limit: nearest, else wider. */
static void take_whole_gap(bv_build *build) {
  bv_build_gap(build);
  for (int i = 0; i < 3 && bv_build_flux_use(build) > 1 + 1e-9; i++) {
    build->gap += BV_GAP_STEP;
    build->inductance =
        bv_gap_inductance(&build->gap_core, build->primary_turns, build->gap);
  }
}

/* Rounding may leave the flux a little above its limit: up to 3 % a wider gap
 * takes back (the frequency then passes its limit by as much), more costs a
 * turn. */
static bv_reason wind(bv_build *build, double turns, double beside) {
  build->primary_turns = turns;
  bv_reason reason = settle(build, beside);
  if (reason == BV_REASON_OK && bv_build_flux_use(build) > 1.03) {
    build->primary_turns++;
    reason = settle(build, beside);
  }
  if (reason != BV_REASON_OK)
    return reason;
  build->inductance /= bv_most(1, bv_build_flux_use(build));
  take_whole_gap(build);
  return BV_REASON_OK;
}

/* Turns that the designer gives keep the frequency, whatever the flux. */
static bv_reason wind_given(bv_build *build) {
  build->primary_turns = build->choice->primary_turns;
  bv_reason reason = settle(build, 0);
  if (reason == BV_REASON_OK)
    bv_build_gap(build);
  return reason;
}

/* What was wound, by how much it misses window and voltage between layers, and
 * what a charge loses. A ratio off by 1 % has to save more than 1 %. */
typedef struct trial {
  bv_build build;
  double excess, loss;
} trial;

static double excess(const bv_build *build) {
  double height =
      build->primary.build + build->secondary.build + bv_build_barriers(build);
  double voltage = bv_build_layer_voltage(build, build->secondary.part.layers) /
                   build->job->layer_voltage_limit;
  return bv_most(0, height / build->bobbin.height - 1) +
         bv_most(0, voltage - 1 - 1e-9);
}

static void weigh(trial *it) {
  bv_charge charge;
  bool works = it->build.leakage < it->build.inductance &&
               bv_build_try_charge(&it->build, &charge) == BV_REASON_OK;
  it->excess = works ? excess(&it->build) : HUGE_VAL;
  double off = fabs(it->build.ratio / it->build.choice->turns_ratio - 1);
  it->loss = works ? (1 + off) * charge.loss_energy : HUGE_VAL;
}

static bool is_better(const trial *a, const trial *b) {
  return a->excess < b->excess || (a->excess == b->excess && a->loss < b->loss);
}

static void try_turns(const bv_build *relaxed, double turns, double beside,
                      trial *best) {
  trial it = {.build = *relaxed};
  if (wind(&it.build, turns, beside) != BV_REASON_OK)
    return;
  weigh(&it);
  if (!is_better(&it, best))
    return;
  *best = it;
  best->build.beyond_fewest = true;
}

/* More turns of the primary, then with the best of them sections that have a
 * turn or two less or more. */
static void try_more(const bv_build *build, double turns, trial *best) {
  double growth = bv_most(1.04, cbrt(build->turns_factor));
  for (int i = 1; i <= build->more_turns; i++) {
    turns = ceil(turns * growth - 1e-6);
    try_turns(build, turns, 0, best);
  }
  turns = best->build.primary_turns;
  for (int i = 1; i <= build->more_turns / 2; i++) {
    try_turns(build, turns, -i, best);
    try_turns(build, turns, i, best);
  }
}

bv_reason bv_build_whole(bv_build *build) {
  build->whole = true;
  if (build->choice->primary_turns > 0)
    return wind_given(build);
  trial best = {.build = *build};
  double turns = ceil(build->primary_turns / build->turns_factor - 1e-6);
  bv_reason reason = wind(&best.build, turns, 0);
  if (reason == BV_REASON_OK) {
    weigh(&best);
    try_more(build, turns, &best);
  }
  *build = best.build;
  return reason;
}
