/* SPDX-License-Identifier: MIT */
/* From relaxed turns to a design that can be wound: whole turns, wire of the
 * catalogue, a gap in whole steps.
 *
 * Layers fill better or worse with each turn, so some numbers of turns are
 * tried, from the fewest that flux allows to somewhat more than relaxed turns
 * would be, and the loss of a charge decides among those that fit the window
 * and keep the voltage between layers. The primary's turns are rounded up, the
 * sections' to nearest or, where layers then fill much better, a turn or two
 * beside. A layer less or more is tried, too: the estimate that ranks wires
 * (design_wire.c) can't tell what leakage it costs to a few per cent. Then
 * turns once more, for which are best depends on all of that. */
#include <math.h>

#include "model/design_build.h"

/* Most numbers of turns beyond the fewest, turns beside the ratio, and how
 * often a turn less or more is tried in the end. */
enum { MORE_TURNS = 4, BESIDE_MOST = 2, ROUNDS_MOST = 3 };

/* What windings are asked to have. */
typedef struct plan {
  double turns;     /* of the primary */
  double beside;    /* turns of a section beside what the ratio asks for */
  double layers[2]; /* of a part of primary and secondary; 0: any */
} plan;

/* Each step takes away nine tenths of what is missing and more. */
static void settle_inductance(bv_build *build) {
  double before = 0;
  for (int i = 0; i < 12; i++) {
    if (fabs(build->inductance - before) <= 1e-9 * before)
      return;
    bv_build_core_share(build);
    before = build->inductance;
    build->inductance = bv_build_better_inductance(build, before);
  }
}

/* Sections, parts, windings and inductance for a plan. */
static bv_reason settle(bv_build *build, const plan *asked) {
  double sections = build->choice->sections;
  double wanted = asked->turns * build->choice->turns_ratio / sections;
  build->primary_turns = asked->turns;
  build->section_turns = bv_most(1, round(wanted) + asked->beside);
  build->ratio = build->section_turns * sections / build->primary_turns;
  build->primary.layers = asked->layers[0];
  build->secondary.layers = asked->layers[1];
  bv_reason reason = bv_build_ratings(build);
  if (reason != BV_REASON_OK)
    return reason;
  bv_build_room(build);
  bv_build_windings(build);
  settle_inductance(build);
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
 * turn, which the plan then has. Turns that the designer gives keep the
 * frequency, whatever the flux. */
static bv_reason wind(bv_build *build, plan *asked) {
  bool given = build->choice->primary_turns > 0;
  bv_reason reason = settle(build, asked);
  if (reason == BV_REASON_OK && !given && bv_build_flux_use(build) > 1.03) {
    asked->turns++;
    reason = settle(build, asked);
  }
  if (reason != BV_REASON_OK)
    return reason;
  if (given) {
    bv_build_gap(build);
  } else {
    build->inductance /= bv_most(1, bv_build_flux_use(build));
    take_whole_gap(build);
  }
  return BV_REASON_OK;
}

/* What was wound, by how much it misses window and voltage between layers, and
 * what a charge loses. A ratio off by 1 % has to save more than 1 %. */
typedef struct trial {
  plan asked;
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

static bool is_same(const plan *a, const plan *b) {
  return a->turns == b->turns && a->beside == b->beside &&
         a->layers[0] == b->layers[0] && a->layers[1] == b->layers[1];
}

/* From the best so far, whose leakage tells the ranking of wires more than that
 * of a relaxed build; true where the plan is better. */
static bool try_plan(plan asked, trial *best) {
  trial it = {.asked = asked, .build = best->build};
  if (wind(&it.build, &it.asked) != BV_REASON_OK)
    return false;
  weigh(&it);
  if (!is_better(&it, best))
    return false;
  *best = it;
  best->build.took_trial = true;
  return true;
}

/* More turns of the primary as long as that is better, in steps that grow with
 * what relaxed turns are beyond the fewest. */
static void try_more_turns(double growth, trial *best) {
  bool better = true;
  for (int i = 0; i < MORE_TURNS && better; i++) {
    plan asked = best->asked;
    asked.turns = ceil(asked.turns * growth - 1e-6);
    better = try_plan(asked, best);
  }
}

/* Fewer or more turns than the best so far, in steps halved down to one; true
 * where those a turn beside the best were all tried. */
static bool try_turns_near(double step, trial *best) {
  double turns = 0;
  while (step >= 1) {
    plan asked = best->asked;
    turns = asked.turns;
    asked.turns = bv_most(1, turns - step);
    try_plan(asked, best);
    asked.turns = turns + step;
    try_plan(asked, best);
    step = step > 1 ? ceil(step / 2) : 0;
  }
  return best->asked.turns == turns;
}

static bool try_turns(trial *best) {
  double growth = bv_most(1.04, cbrt(best->build.turns_factor));
  try_more_turns(growth, best);
  return try_turns_near(ceil(best->asked.turns * (growth - 1) / 2), best);
}

/* Sections that have a turn or two less or more. */
static void try_beside(trial *best) {
  plan asked = best->asked;
  for (int i = 1; i <= BESIDE_MOST; i++) {
    asked.beside = -i;
    try_plan(asked, best);
    asked.beside = i;
    try_plan(asked, best);
  }
}

/* A part of the primary or of the secondary in a layer less or more. */
static void try_layers(bool secondary, trial *best) {
  const bv_side *side =
      secondary ? &best->build.secondary : &best->build.primary;
  double layers = side->part.layers;
  plan asked = best->asked;
  if (side->fixed)
    return;
  for (int i = -1; i <= 1; i += 2) {
    asked.layers[secondary] = layers + i;
    if (layers + i > 0)
      try_plan(asked, best);
  }
}

/* A turn less or more in the layers found, as long as that is better: which
 * turns are best depends on what the other winding and the layers became. */
static void try_turns_again(trial *best) {
  for (int i = 0; i < ROUNDS_MOST; i++)
    if (try_turns_near(1, best))
      return;
}

static void try_others(trial *best) {
  bool given = best->build.choice->primary_turns > 0;
  bool tried = given || try_turns(best);
  plan before = best->asked;
  try_beside(best);
  try_layers(false, best);
  try_layers(true, best);
  if (!given && !(tried && is_same(&before, &best->asked)))
    try_turns_again(best);
}

bv_reason bv_build_whole(bv_build *build) {
  build->whole = true;
  double given = build->choice->primary_turns;
  double fewest = ceil(build->primary_turns / build->turns_factor - 1e-6);
  trial best = {.asked = {.turns = given > 0 ? given : fewest},
                .build = *build};
  bv_reason reason = wind(&best.build, &best.asked);
  if (reason == BV_REASON_OK) {
    weigh(&best);
    if (build->trials)
      try_others(&best);
  }
  *build = best.build;
  return reason;
}
