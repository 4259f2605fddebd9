/* SPDX-License-Identifier: MIT */
/* Layers on a bobbin: how a winding lies, how long its wire is, whether it
 * fits. Relaxed, turns a layer and layers are real numbers and everything is
 * continuous in turns and diameter; whole, they are what can be wound.
 *
 * Where a layer's wire comes in and where it goes on it lies once more beside
 * its turns: a helix of N turns is N + 1 wires wide (common practice: one turn
 * a layer is lost). */
#ifndef BV_MODEL_WINDING_H
#define BV_MODEL_WINDING_H

#include <stdbool.h>

/* The room on a bobbin. */
typedef struct bv_bobbin {
  double width;     /* m, along the axis between the flanges */
  double height;    /* m, radial: winding area / width */
  double mean_turn; /* m, length of a turn at half the height */
} bv_bobbin;

/* What is to be wound. */
typedef struct bv_winding_plan {
  double turns;            /* of the whole winding, > 0 */
  double overall_diameter; /* m, of the insulated wire */
  double margin;           /* m, kept free at each flange */
  double layer_insulation; /* m, between two layers */
  double chambers;         /* axial chambers side by side, >= 1 */
  double chamber_wall;     /* m, between two chambers */
  bool whole;              /* whole turns a layer and layers */
} bv_winding_plan;

/* How it lies. All layers of a winding that can't be wound (no turn fits the
 * width) are INFINITY. */
typedef struct bv_winding {
  double width;           /* m, of a layer in one chamber */
  double turns_per_layer; /* in one chamber, one wire's width left for leads */
  double layers;          /* in one chamber, a part layer counted whole */
  double filled_layers;   /* turns over turns a layer: for MMF and eddies */
  double pitch;           /* m, from turn to turn in a full layer */
  double inner, outer;    /* m, from the bobbin's floor */
  double mean_turn;       /* m */
  double length;          /* m, of the wire */
} bv_winding;

/* Lays a winding whose first layer starts at inner m above the floor. The
 * height is layers * diameter + (layers - 1) * insulation, at least one
 * diameter. A turn at distance y from the middle of the bobbin's height is
 * longer by 2 pi y: exact for every convex bobbin. */
bv_winding bv_winding_lay(const bv_bobbin *bobbin, const bv_winding_plan *plan,
                          double inner);

/* Mean length of a turn, m, between inner and outer m above the floor. */
double bv_winding_mean_turn(const bv_bobbin *bobbin, double inner,
                            double outer);

/* Copper's share of the bobbin's area: turns of a copper cross-section in m2
 * (all strands). Add up the windings' shares. */
double bv_winding_fill(const bv_bobbin *bobbin, double turns, double area);

#endif
