/* SPDX-License-Identifier: MIT */
/* The switch and the level of its clamp, chosen together: of the switches that
 * are rated for the stress with derating, and of the levels that each allows,
 * the pair with the least estimated loss of a cycle; where no switch is rated,
 * the one that comes nearest.
 *
 * A low level lets a switch of lower rating and resistance do; a high one takes
 * the leakage's current away sooner, but the switch turns off into more
 * voltage. The loss bends little between, so the ends are tried: 1.2 times the
 * reflected voltage, and what the switch's rating leaves, at most 3 times. A
 * level that the designer gives is the only one.
 *
 * The estimate ranks only: conduction and gate (rating.h), turn-off at 0.7 of
 * the target, and what the switch's capacitance costs at the node. */
#include <math.h>

#include "model/design_build.h"

/* Clamp over reflected voltage, common practice. */
static const double lowest = 1.2, highest = 3;

/* Leakage over inductance before the windings are known, common practice. */
static const double usual_leakage = 0.01;

/* To find what a pair loses at turn-off takes longest. It isn't asked for where
 * the pair would have to lose less than this part of what the best one so far
 * loses there. */
#define LEAST_OF_BEST 0.5

/* A switch with a level, V; what it loses in a cycle, J, and at turn-off. */
typedef struct pair {
  const bv_switch *part;
  double level, margin, loss, turn_off;
} pair;

/* What all pairs share. */
typedef struct circumstances {
  bv_stress stress; /* but for its voltage */
  double reflected; /* V, the largest, which the level must exceed */
  double midway;    /* V, reflected at 0.7 of the target */
  double leakage;   /* H */
} circumstances;

static circumstances circumstances_of(const bv_build *build,
                                      const bv_stress *stress) {
  const bv_job *job = build->job;
  double inductance =
      stress->conduction * job->supply_voltage.nominal / stress->current;
  return (circumstances){
      *stress,
      bv_build_reflected(build, job->supply_voltage.min, job->target_voltage),
      bv_build_midway(build),
      build->leakage > 0 ? build->leakage : usual_leakage * inductance};
}

static void hold(bv_build *build, const pair *it) {
  build->power_switch = it->part;
  build->clamp_voltage = it->level;
}

/* All but turn-off. */
static double other_loss(const bv_build *build, const circumstances *at,
                         const pair *it) {
  return bv_switch_loss(it->part, &at->stress) +
         bv_build_swing_cost(build) * it->part->output_capacitance;
}

static double turn_off_loss(const bv_build *build, const circumstances *at) {
  double supply = build->job->supply_voltage.nominal;
  bv_turn_off off = bv_build_turn_off(build, at->leakage, supply, at->midway,
                                      at->stress.current);
  return off.clamp + off.overlap;
}

/* Keeps the better one of a pair and the best so far. */
static void consider(bv_build *build, const circumstances *at,
                     const bv_switch *part, double level, pair *best) {
  bv_stress stress = at->stress;
  stress.voltage = build->job->supply_voltage.max + level;
  double margin = bv_least(0, bv_switch_margin(part, &stress));
  pair it = {.part = part, .level = level, .margin = margin};
  if (it.margin < best->margin)
    return;
  hold(build, &it);
  it.loss = other_loss(build, at, &it);
  bool rated_better = it.margin > best->margin;
  double least = it.loss + LEAST_OF_BEST * best->turn_off;
  if (!rated_better && least >= best->loss)
    return;
  it.turn_off = turn_off_loss(build, at);
  it.loss += it.turn_off;
  if (rated_better || it.loss < best->loss)
    *best = it;
}

/* The highest level that a switch's derated rating leaves, but for a little, so
 * that a limit of no margin holds. */
static double level_left(const bv_job *job, const bv_switch *part) {
  return job->voltage_derating * part->voltage_rating * (1 - 1e-4) -
         job->supply_voltage.max;
}

static void consider_levels(bv_build *build, const circumstances *at,
                            const bv_switch *part, pair *best) {
  double given = build->choice->clamp_ratio;
  if (given > 0) {
    consider(build, at, part, given * at->reflected, best);
    return;
  }
  double low = lowest * at->reflected;
  double high = bv_least(highest * at->reflected, level_left(build->job, part));
  consider(build, at, part, low, best);
  if (high > low)
    consider(build, at, part, high, best);
}

bv_reason bv_build_switch(bv_build *build, const bv_stress *stress) {
  const bv_job *job = build->job;
  const bv_switch *given = build->choice->power_switch;
  const bv_switch *list = given ? given : build->parts->switches;
  size_t count = given ? 1 : build->parts->switch_count;
  circumstances at = circumstances_of(build, stress);
  pair best = {.margin = -HUGE_VAL, .loss = HUGE_VAL};
  if (!(bv_build_reflected(build, job->supply_voltage.max,
                           job->target_voltage) > 0))
    return BV_REASON_RATIO_TOO_HIGH;
  const bv_switch *before = build->power_switch;
  if (before) /* which few others beat */
    consider_levels(build, &at, before, &best);
  for (size_t i = 0; i < count; i++)
    if (&list[i] != before)
      consider_levels(build, &at, &list[i], &best);
  hold(build, &best);
  return best.part ? BV_REASON_OK : BV_REASON_NO_SWITCH;
}
