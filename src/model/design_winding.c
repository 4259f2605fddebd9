/* SPDX-License-Identifier: MIT */
/* Inside the fixed point: how the windings lie and what follows from geometry.
 *
 * From the centre leg outwards: primary, barrier, secondary, barrier, core; or
 * half the primary on either side of the secondary. Sections of the secondary
 * lie above each other, or side by side where the bobbin has chambers. Every
 * winding keeps the margin at both flanges. Relative permittivity of enamel and
 * tape 3.5 (common practice).
 */
#include <math.h>

#include "base/constants.h"
#include "model/capacitance.h"
#include "model/copper.h"
#include "model/design_build.h"
#include "model/leakage.h"
#include "model/sizing.h"

static const double permittivity = 3.5;

/* Share of a winding's outside that the core faces: two of four sides, as the
 * outer legs of E cores do (common practice). */
static const double faced = 0.5;

/* Share of the copper that the primary gets: ampere-turns of either winding
 * over the charge (R. W. Erickson, D. Maksimovic, 3rd ed., section 11.3). */
static double primary_share(const bv_build *build) {
  const bv_choice *choice = build->choice;
  if (choice->primary_share > 0)
    return choice->primary_share;
  const bv_job *job = build->job;
  double x = build->ratio * job->supply_voltage.nominal / job->target_voltage;
  return bv_build_stages(build) > 0 ? 0.5 : 1 / (1 + sqrt(2 * x));
}

static void plan_primary(bv_build *build, double height) {
  bv_side *side = &build->primary;
  side->parts = side->stacks = build->choice->interleaved ? 2 : 1;
  side->turns = build->primary_turns / side->parts;
  if (build->whole)
    side->turns = ceil(side->turns);
  side->chambers = 1;
  side->gap = 0;
  side->bobbin =
      (bv_bobbin){build->width, build->bobbin.height, build->bobbin.mean_turn};
  side->height = height;
}

/* Of the walls between chambers: they part sections, or the chambers of one
 * section, which follow each other from floor to top. */
static double chamber_wall(const bv_build *build, double chambers_each) {
  double voltage = bv_build_section_voltage(build) / chambers_each;
  if (build->choice->sections > 1)
    voltage = bv_most(voltage, bv_build_gap_voltage(build));
  return bv_most(BV_CHAMBER_WALL, bv_build_layer_of(voltage));
}

/* Sections are wound alike: of three in two chambers one chamber has two above
 * each other, and of two in three chambers each has one; the third stays empty.
 */
static void plan_secondary(bv_build *build, double height) {
  bv_side *side = &build->secondary;
  double m = build->choice->sections, chambers = build->choice->chambers;
  side->parts = m;
  side->stacks = ceil(m / chambers);
  side->chambers = bv_most(1, floor(chambers / m));
  side->wall = chamber_wall(build, side->chambers);
  double chamber =
      bv_most((build->width - (chambers - 1) * side->wall) / chambers,
              bv_most(0.02 * build->width, 0.3e-3));
  side->turns = build->section_turns;
  double width = side->chambers * chamber + (side->chambers - 1) * side->wall;
  side->bobbin =
      (bv_bobbin){width, build->bobbin.height, build->bobbin.mean_turn};
  side->gap = bv_build_layer_of(bv_build_gap_voltage(build));
  side->height = height;
}

/* Mean turn of a side whose stacks begin at inner. */
static void place(bv_build *build, bv_side *side, double inner) {
  double mean =
      bv_winding_mean_turn(&build->bobbin, inner, inner + side->build);
  double turns = side->turns * side->parts;
  if (side == &build->primary)
    turns = build->primary_turns;
  side->length = turns * mean;
  side->part.mean_turn = mean;
  side->resistance = bv_copper_resistance(
      side->length, BV_PI / 4 * side->diameter * side->diameter * side->strands,
      build->temperature);
}

/* Faces of primary and secondary to each other. */
static double interfaces(const bv_build *build) {
  return build->choice->interleaved ? 2 : 1;
}

/* An interleaved primary's mean turn is that of the middle of the stack. */
static void place_both(bv_build *build) {
  double inner = build->primary.build;
  if (build->choice->interleaved) {
    double half = build->primary.build / 2;
    double all =
        build->primary.build + build->secondary.build + 2 * build->barrier;
    place(build, &build->primary, (all - build->primary.build) / 2);
    inner = half;
  } else {
    place(build, &build->primary, 0);
  }
  place(build, &build->secondary, inner + build->barrier);
}

/* Share of the width where the secondary's chambers are wound. */
static double covered(const bv_build *build) {
  double m = build->choice->sections, chambers = build->choice->chambers;
  return bv_least(1, floor(chambers / bv_least(m, chambers)) * m / chambers);
}

bv_leakage_path bv_build_leakage_path(const bv_build *build, double mean_turn,
                                      double copper) {
  return (bv_leakage_path){.turns = build->primary_turns,
                           .mean_turn = mean_turn,
                           .width = covered(build) * build->width,
                           .copper = copper,
                           .space = interfaces(build) * build->barrier,
                           .interfaces = interfaces(build)};
}

static void take_leakage(bv_build *build) {
  const bv_side *primary = &build->primary, *secondary = &build->secondary;
  bv_leakage_path path = bv_build_leakage_path(
      build, (primary->part.mean_turn + secondary->part.mean_turn) / 2,
      primary->build + secondary->build);
  build->leakage = bv_leakage(&path);
}

/* Over all chambers, their walls left out. */
static double plates(const bv_side *side, double distance) {
  double width = side->part.width * side->chambers;
  return bv_capacitance_plates(side->part.mean_turn, width, distance,
                               permittivity);
}

/* Plates that stand for two layers of a side with an insulation in between. */
static double layers_apart(const bv_side *side, double insulation) {
  double bundle = side->overall, copper = side->diameter * sqrt(side->strands);
  return plates(side, bv_capacitance_distance(bundle + insulation,
                                              bv_least(copper, bundle),
                                              side->part.pitch));
}

static double between_layers(const bv_build *build, const bv_side *side) {
  return layers_apart(side, build->choice->layer_insulation);
}

/* The outermost layer of a side against the core, which conducts: over the
 * barrier and the air that the windings leave. */
static double to_core(const bv_build *build, const bv_side *side) {
  double used =
      build->primary.build + build->secondary.build + bv_build_barriers(build);
  double air = bv_most(0, build->bobbin.height - used);
  return faced * plates(side, build->barrier + permittivity * air);
}

/* The primary against what lies outside of it: its end, the switch, is its
 * outermost layer. Of an interleaved one the middle's two layers face the
 * secondary at half the voltage. */
static double primary_outside(const bv_build *build, const bv_side *side) {
  double layers = bv_most(1, side->stacks * side->part.layers);
  double barrier = plates(side, build->barrier);
  if (!build->choice->interleaved)
    return bv_capacitance_last_layer(barrier, layers, 1);
  return barrier / 2 +
         bv_capacitance_last_layer(to_core(build, side), layers, 1);
}

/* The walls between the chambers of one part. */
static double walls(const bv_side *side) {
  double height = side->part.outer - side->part.inner;
  double wall = bv_capacitance_plates(side->part.mean_turn, height, side->wall,
                                      permittivity);
  return bv_capacitance_walls(wall, side->chambers);
}

/* Share of the sections that lie next to the barrier, as many as chambers. */
static double lowest(const bv_build *build) {
  return bv_least(1, build->choice->chambers / build->choice->sections);
}

/* One section at its own ends: its layers and chambers; of those above each
 * other each has its share of the barrier within and of what lies outside, and
 * of the insulation between them. The cold ends of all sections rest at
 * constant potentials, so sections swing together and side by side hold
 * nothing. */
static double section_capacitance(const bv_build *build, const bv_side *side) {
  double layers = bv_most(1, side->part.layers), chambers = side->chambers;
  double own = bv_capacitance_winding(between_layers(build, side), layers,
                                      BV_FOLDED, chambers) +
               walls(side);
  double gaps = bv_capacitance_sections(layers_apart(side, side->gap), layers);
  double last = build->choice->interleaved ? plates(side, build->barrier)
                                           : to_core(build, side);
  double ends = bv_capacitance_first_layer(plates(side, build->barrier), layers,
                                           chambers) +
                bv_capacitance_last_layer(last, layers, chambers);
  return own + gaps * (1 - lowest(build)) + ends * lowest(build);
}

static double secondary_capacitance(const bv_build *build,
                                    const bv_side *side) {
  return section_capacitance(build, side) / build->choice->sections;
}

static double primary_capacitance(const bv_build *build, const bv_side *side) {
  double layers = bv_most(1, side->part.layers);
  double own =
      bv_capacitance_winding(between_layers(build, side), layers, BV_FOLDED, 1);
  return own / side->parts + primary_outside(build, side);
}

double bv_build_own_capacitance(const bv_build *build, const bv_side *side,
                                bool primary) {
  return primary
             ? primary_capacitance(build, side)
             : build->ratio * build->ratio * secondary_capacitance(build, side);
}

/* Primary and secondary swing alike, too, by the turns ratio: what the barriers
 * between them hold less than if either were at rest, F at the primary. */
static double shared_swing(const bv_build *build) {
  const bv_side *one = &build->primary, *two = &build->secondary;
  double layers = two->part.layers, share = build->ratio / two->parts;
  double inside = bv_capacitance_first_mean(layers, two->chambers);
  double outside = bv_capacitance_last_mean(layers, two->chambers);
  double least =
      bv_least(plates(one, build->barrier),
               two->parts * lowest(build) * plates(two, build->barrier));
  double product = build->choice->interleaved
                       ? 0.5 * (inside + outside)
                       : inside * bv_capacitance_last_mean(one->part.layers, 1);
  return 2 * least * share * product;
}

static void take_capacitance(bv_build *build) {
  const bv_diode *diode = build->diode;
  double n2 = build->ratio * build->ratio;
  build->winding_capacitance = secondary_capacitance(build, &build->secondary);
  build->winding_reflected = primary_capacitance(build, &build->primary) +
                             n2 * build->winding_capacitance -
                             shared_swing(build);
  double diodes = bv_most(1, 2 * bv_build_stages(build));
  double positions = diodes / build->choice->sections;
  build->node_winding = build->winding_reflected +
                        n2 * positions * diode->capacitance / build->series;
  build->node_capacitance =
      build->power_switch->output_capacitance + build->node_winding;
}

/* The secondary gets its share of the room, the primary what it leaves. */
void bv_build_windings(bv_build *build) {
  double room = build->choice->window_use * build->bobbin.height -
                bv_build_barriers(build);
  room = bv_most(room, 0.1 * build->bobbin.height);
  double share = primary_share(build);
  double frequency = build->choice->max_frequency;
  plan_secondary(build, (1 - share) * room);
  bv_build_wire(build, &build->secondary, frequency);
  plan_primary(build, bv_most(share * room, room - build->secondary.build));
  bv_build_wire(build, &build->primary, frequency);
  place_both(build);
  take_leakage(build);
  take_capacitance(build);
}
