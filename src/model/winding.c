/* SPDX-License-Identifier: MIT */
#include "model/winding.h"

#include <math.h>

#include "base/constants.h"

double bv_winding_mean_turn(const bv_bobbin *bobbin, double inner,
                            double outer) {
  double middle = (inner + outer) / 2;
  return bobbin->mean_turn + 2 * BV_PI * (middle - bobbin->height / 2);
}

double bv_winding_fill(const bv_bobbin *bobbin, double turns, double area) {
  return turns * area / (bobbin->width * bobbin->height);
}

/* A layer's width in one chamber. */
static double layer_width(const bv_bobbin *bobbin,
                          const bv_winding_plan *plan) {
  double walls = (plan->chambers - 1) * plan->chamber_wall;
  return (bobbin->width - 2 * plan->margin - walls) / plan->chambers;
}

/* Turns a layer in the width of so many wires. Relaxed a smooth f²/(1 + f),
 * from f - 1 where many fit to half a turn in one width: never below what whole
 * turns give. */
static double turns_within(double fit, bool whole) {
  return whole ? fit - 1 : fit * fit / (1 + fit);
}

/* Turns a layer, their pitch and layers of a chamber. */
static void count_layers(bv_winding *winding, const bv_winding_plan *plan) {
  /* The wire that fits exactly must not be lost to rounding. */
  double fit = winding->width / plan->overall_diameter * (1 + 1e-12);
  double turns = plan->turns / plan->chambers;
  if (plan->whole)
    fit = floor(fit);
  winding->turns_per_layer = turns_within(fit, plan->whole);
  winding->pitch = winding->width / fit;
  winding->filled_layers = turns / winding->turns_per_layer;
  winding->layers = winding->filled_layers;
  if (plan->whole)
    winding->layers = ceil(winding->layers);
  if (!(fit >= (plan->whole ? 2 : 1)))
    winding->layers = (double) INFINITY;
}

bv_winding bv_winding_lay(const bv_bobbin *bobbin, const bv_winding_plan *plan,
                          double inner) {
  bv_winding winding = {.width = layer_width(bobbin, plan), .inner = inner};
  count_layers(&winding, plan);
  double height = winding.layers * plan->overall_diameter +
                  (winding.layers - 1) * plan->layer_insulation;
  winding.outer = inner + fmax(height, plan->overall_diameter);
  winding.mean_turn = bv_winding_mean_turn(bobbin, inner, winding.outer);
  winding.length = plan->turns * winding.mean_turn;
  return winding;
}
