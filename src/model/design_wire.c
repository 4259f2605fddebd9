/* SPDX-License-Identifier: MIT */
/* The wire of a winding: the one with the least estimated loss among those
 * that fit the height and keep the voltage between layers, its own and that at
 * turn-off: a high winding has more leakage, whose energy can cost more than
 * thicker copper saves.
 *
 * Buildable: every wire of the catalogue, whole layers. Relaxed: the same
 * kinds with real sizes: solid as thick as fits, solid in a single layer, which
 * holds the least capacitance, both at the optimum of skin and proximity loss
 * where that is thinner, and stranded with each strand the catalogue offers, as
 * thick as fits within the catalogue's sizes; none higher than its leakage is
 * worth. Kind and share of the height are chosen once in a
 * design, so within a kind results are smooth.
 *
 * The estimate ranks only: skin and proximity effect of round wire in the field
 * of its own winding (low-frequency series, its limit for thick wire), at twice
 * the frequency, as the harmonics of the ramps count (common practice), and
 * turn-off at 0.7 of the target, half of its energy. windingloss.h and the
 * charge then give the losses themselves. */
#include <math.h>

#include "base/constants.h"
#include "model/copper.h"
#include "model/design_build.h"
#include "model/leakage.h"
#include "model/wire.h"

static const double harmonics = 2;

typedef struct candidate {
  const bv_wire *wire;
  double diameter, overall, strands;
  bv_winding part;
  double build, loss;
} candidate;

static double stack_height(const bv_side *side, double part) {
  return side->stacks * part + (side->stacks - 1) * side->gap;
}

static void lay(const bv_build *build, const bv_side *side, candidate *it) {
  bv_winding_plan plan = {.turns = side->turns,
                          .overall_diameter = it->overall,
                          .layer_insulation = build->choice->layer_insulation,
                          .chambers = side->chambers,
                          .chamber_wall = side->wall,
                          .whole = build->whole};
  it->part = bv_winding_lay(&side->bobbin, &plan, 0);
  it->build = stack_height(side, it->part.outer - it->part.inner);
}

/* Dc resistance of the candidate times its ac factor, but for what all share.
 */
static double resistance(const bv_side *side, const candidate *it,
                         double skin_depth) {
  double layers = bv_most(side->stacks * it->part.layers, 0.5);
  if (side->parts == 2 && side->stacks == 2 && side->gap == 0)
    layers /= 2; /* halves of a primary lie in fields of their own */
  double x = it->diameter / (2 * skin_depth), x3 = x * x * x;
  double width = BV_PI * it->diameter / it->part.pitch;
  double field = (4 * layers * layers * it->strands - 1) / 12;
  double skin = x * x3 / (48 + 2 * x3), near = x * x3 / (4 + x3);
  double factor = 1 + skin + width * width * it->strands * field * near;
  return factor / (it->strands * it->diameter * it->diameter);
}

static void take(bv_side *side, const candidate *it) {
  side->wire = it->wire;
  side->diameter = it->diameter;
  side->overall = it->overall;
  side->strands = it->strands;
  side->part = it->part;
  side->build = it->build;
}

/* What a side's candidates share. */
typedef struct ranking {
  const bv_build *build;
  const bv_side *side;
  bool primary;
  double skin_depth;  /* m */
  double copper;      /* J of a cycle by `resistance` */
  double turn_off[3]; /* J of a cycle without height, with half and with all */
  double swing;       /* J of a cycle by capacitance at the node in F */
} ranking;

/* Square of the current and time of a cycle: A² s. */
static double heating(const bv_build *build, bool primary) {
  double peak = build->choice->peak_current, own = peak / build->ratio;
  double linkage = build->inductance * peak;
  return primary
             ? peak * peak * linkage / build->job->supply_voltage.nominal / 3
             : own * own * bv_build_mean_off(build, linkage) / 3;
}

double bv_build_swing_cost(const bv_build *build) {
  double supply = build->job->supply_voltage.nominal, square = supply * supply;
  double r = bv_build_reflected(build, supply, build->job->target_voltage);
  double valley = r < supply ? square - 4 * supply * r / 3 + r * r / 2
                             : square * square / (6 * r * r);
  return valley / 2 + 0.1 * r * r / 4;
}

/* At turn-off, J, where the side has a height. */
static double turn_off_energy(const bv_build *build, bool primary,
                              double height) {
  const bv_side *side = primary ? &build->primary : &build->secondary;
  const bv_side *other = primary ? &build->secondary : &build->primary;
  bv_leakage_path path = bv_build_leakage_path(build, side->bobbin.mean_turn,
                                               other->build + height);
  bv_turn_off off = bv_build_turn_off_rough(
      build, bv_leakage(&path), build->job->supply_voltage.nominal,
      bv_build_midway(build), build->choice->peak_current);
  return off.clamp + off.overlap;
}

static ranking ranking_of(const bv_build *build, const bv_side *side,
                          double skin_depth) {
  bool primary = side == &build->primary;
  double length = side->turns * side->parts * side->bobbin.mean_turn;
  ranking r = {.build = build,
               .side = side,
               .primary = primary,
               .skin_depth = skin_depth,
               .copper = bv_copper_resistivity(build->temperature) * length /
                         (BV_PI / 4) * heating(build, primary),
               .swing = bv_build_swing_cost(build)};
  for (int i = 0; i < 3; i++)
    r.turn_off[i] = turn_off_energy(build, primary, i * side->height / 2);
  return r;
}

static double copper_loss(const ranking *r, const candidate *it) {
  return r->copper * resistance(r->side, it, r->skin_depth);
}

/* Loss at turn-off, J, of a height: the parabola through three of them. */
static double turn_off_loss(const ranking *r, double height) {
  const double *e = r->turn_off;
  double t = height / r->side->height;
  double slope = 4 * e[1] - 3 * e[0] - e[2],
         bend = 2 * (e[0] + e[2]) - 4 * e[1];
  return e[0] + t * (slope + t * bend);
}

static double swing_loss(const ranking *r, const candidate *it) {
  bv_side side = *r->side;
  take(&side, it);
  return r->swing * bv_build_own_capacitance(r->build, &side, r->primary);
}

/* Loss of a cycle, J, without the part that no candidate changes; INFINITY
 * where it surely exceeds `enough`. */
static double loss(const ranking *r, const candidate *it, double enough) {
  double most = copper_loss(r, it) + turn_off_loss(r, it->build);
  return most < enough ? most + swing_loss(r, it) : HUGE_VAL;
}

static candidate of_catalogue(const bv_wire *wire) {
  return (candidate){.wire = wire,
                     .diameter = wire->bare_diameter,
                     .overall = wire->insulated_diameter,
                     .strands = wire->strands};
}

static void take_given(const bv_build *build, bv_side *side,
                       const bv_wire *wire) {
  candidate it = of_catalogue(wire);
  lay(build, side, &it);
  take(side, &it);
}

/* What a candidate loses at least, however it lies. */
static double least_loss(const ranking *r, const candidate *it) {
  double dc = r->copper / (it->strands * it->diameter * it->diameter);
  const double *e = r->turn_off;
  return dc + bv_least(e[0], bv_least(e[1], e[2]));
}

/* Whether it stays within the side's height, makes the layers asked for and, of
 * a secondary, keeps within the voltage allowed between them. */
static bool is_allowed(const bv_build *build, const bv_side *side,
                       const candidate *it) {
  return it->build <= side->height * (1 + 1e-9) &&
         (side->layers == 0 || it->part.layers == side->layers) &&
         (side == &build->primary ||
          bv_build_layer_voltage(build, it->part.layers) <=
              build->job->layer_voltage_limit * (1 + 1e-9));
}

/* Width of all chambers without their walls. */
static double net_width(const bv_side *side) {
  return side->bobbin.width - (side->chambers - 1) * side->wall;
}

/* Whether so many squares of its diameter find room at all. */
static bool could_fit(const bv_side *side, const candidate *it) {
  return side->turns * side->stacks * it->overall * it->overall <=
         net_width(side) * side->height * (1 + 1e-9);
}

/* The least loss of the wires that are allowed. From the end, where a catalogue
 * has the thick ones: once one fits, the resistance alone rules out most
 * thinner ones. Without a wire where none is allowed. */
static candidate least_lossy(const bv_build *build, const bv_side *side,
                             double skin_depth) {
  ranking r = ranking_of(build, side, skin_depth);
  candidate best = {.loss = HUGE_VAL};
  for (size_t i = build->parts->wire_count; i-- > 0;) {
    candidate it = of_catalogue(&build->parts->wires[i]);
    if (!could_fit(side, &it) || !(least_loss(&r, &it) < best.loss))
      continue;
    lay(build, side, &it);
    if (!is_allowed(build, side, &it))
      continue;
    it.loss = loss(&r, &it, best.loss);
    if (it.loss < best.loss)
      best = it;
  }
  return best;
}

static candidate least_high(const bv_build *build, const bv_side *side) {
  candidate best = {.build = HUGE_VAL};
  for (size_t i = build->parts->wire_count; i-- > 0;) {
    candidate it = of_catalogue(&build->parts->wires[i]);
    lay(build, side, &it);
    if (!best.wire || it.build < best.build)
      best = it;
  }
  return best;
}

static void take_from_catalogue(const bv_build *build, bv_side *side,
                                double skin_depth) {
  candidate best = least_lossy(build, side, skin_depth);
  if (!best.wire)
    best = least_high(build, side);
  take(side, &best);
}

/* Overall diameter that fills a height: layers p = a d, height p d + (p - 1)
 * t; a single layer is as thick as the height. By winding.h a = b (1 + d/w), b
 * turns over the net width, w a chamber's: (1 + d/w)(d^2 + t d) = (height +
 * t)/b, by Newton's steps, which come from above. */
static double filling_diameter(const bv_build *build, const bv_side *side,
                               double all) {
  double height = (all - (side->stacks - 1) * side->gap) / side->stacks;
  height = bv_most(height, 0.02 * side->height);
  double t = build->choice->layer_insulation;
  double b = side->turns / net_width(side);
  double per_w = side->chambers / net_width(side), full = (height + t) / b;
  double d = (sqrt(t * t + 4 * full) - t) / 2, step = d;
  for (int i = 0; i < 12 && step > 1e-9 * d; i++) {
    double square = d * (d + t), more = 1 + d * per_w;
    step = (more * square - full) / (per_w * square + more * (2 * d + t));
    d -= step;
  }
  return b * (1 + d * per_w) * d < 1 ? height : d;
}

/* Bare diameter of solid wire with the least loss, were there no limit: the
 * low-frequency expansion of Dowell's formula, many layers or one. */
static double optimum_diameter(const bv_side *side, double skin_depth) {
  double per_width = side->turns * side->stacks / net_width(side);
  double phi = 0.79 / skin_depth, phi2 = phi * phi;
  double many = cbrt(sqrt(4.5) / (per_width * phi2));
  double one = sqrt(sqrt(45) / (2 * phi2));
  return bv_least(many, one);
}

/* The kinds of relaxed wire; the strands of the catalogue follow. */
enum { UNCHOSEN, SOLID, ONE_LAYER, STRANDED };

/* Overall diameter whose turns fill one layer: f of them fit the width and
 * f²/(1 + f) are the turns, see winding.h. */
static double one_layer(const bv_side *side) {
  double turns = side->turns / side->chambers;
  double fit = (turns + sqrt(turns * (turns + 4))) / 2;
  return net_width(side) / side->chambers / fit;
}

static candidate solid_wire(double bare, double overall) {
  return (candidate){.diameter = bare, .overall = overall, .strands = 1};
}

static candidate filling(const bv_build *build, double most) {
  double overall =
      bv_least(bv_most(most, build->solid_least), build->solid_most);
  return solid_wire(bv_wire_bare_diameter(overall, BV_GRADE_2), overall);
}

/* As thick as fits and the catalogue has it. */
static candidate stranded(const bv_strand *strand, double most) {
  double overall = bv_least(bv_most(most, strand->least), strand->most);
  double share = overall / strand->most;
  return (candidate){.diameter = strand->diameter,
                     .overall = overall,
                     .strands = strand->strands * share * share};
}

/* Laid; `most`: the overall diameter that fills the height, m. */
static candidate of_kind(const bv_build *build, const bv_side *side, int kind,
                         double most, double skin_depth) {
  candidate it;
  if (kind >= STRANDED) {
    it = stranded(&build->strand[kind - STRANDED], most);
  } else {
    if (kind == ONE_LAYER)
      most = bv_least(most, one_layer(side));
    it = filling(build, most);
    double optimum = optimum_diameter(side, skin_depth);
    if (optimum < it.diameter)
      it = solid_wire(optimum, bv_wire_overall_diameter(optimum, BV_GRADE_2));
  }
  lay(build, side, &it);
  return it;
}

/* As high as a share of the height. */
static candidate of_share(const bv_build *build, const bv_side *side, int kind,
                          double share, double skin_depth) {
  double most = filling_diameter(build, side, share * side->height);
  return of_kind(build, side, kind, most, skin_depth);
}

/* The share of a candidate's height that is worth its leakage: its copper's
 * loss goes with 1/height, what it adds at turn-off with the height, and their
 * sum is least where both are equal. */
static double worthwhile(const ranking *r, const candidate *it) {
  double copper = copper_loss(r, it);
  double added = turn_off_loss(r, it->build) - r->turn_off[0];
  return copper < added ? sqrt(copper / added) : 1;
}

static candidate choose_kind(const bv_build *build, bv_side *side,
                             double skin_depth) {
  ranking r = ranking_of(build, side, skin_depth);
  double most = filling_diameter(build, side, side->height);
  candidate best = {.loss = HUGE_VAL};
  int kinds = STRANDED + (int) build->strand_count;
  for (int kind = SOLID; kind < kinds; kind++) {
    if (kind >= STRANDED && most < build->strand[kind - STRANDED].least)
      continue;
    candidate it = of_kind(build, side, kind, most, skin_depth);
    double share = worthwhile(&r, &it);
    if (share < 1)
      it = of_share(build, side, kind, share, skin_depth);
    it.loss = loss(&r, &it, best.loss);
    if (kind == SOLID || it.loss < best.loss)
      best = it, side->kind = kind, side->share = share;
  }
  return best;
}

static void take_relaxed(const bv_build *build, bv_side *side,
                         double skin_depth) {
  candidate it = side->kind == UNCHOSEN ? choose_kind(build, side, skin_depth)
                                        : of_share(build, side, side->kind,
                                                   side->share, skin_depth);
  take(side, &it);
}

void bv_build_wire(const bv_build *build, bv_side *side, double frequency) {
  double skin_depth =
      bv_copper_skin_depth(harmonics * frequency, build->temperature);
  if (side->fixed)
    take_given(build, side, side->fixed);
  else if (build->whole)
    take_from_catalogue(build, side, skin_depth);
  else
    take_relaxed(build, side, skin_depth);
}
