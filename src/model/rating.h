/* SPDX-License-Identifier: MIT */
/* Parts by rating: of the diodes of a list that stand the stress with derating
 * the one with the least estimated loss, else the one that comes nearest; for
 * switches design_switch.c does so. A margin is the share of the derated rating
 * left, 1 - stress/(derating rating): negative where overstressed.
 *
 * The loss of one cycle, for ranking only: conduction of a triangular current
 * (the switch at 1.5 of its cold resistance, a usual hot one), gate, and what a
 * diode's capacitance costs. */
#ifndef BV_MODEL_RATING_H
#define BV_MODEL_RATING_H

#include <stddef.h>

#include "model/part.h"

typedef struct bv_stress {
  double voltage;          /* V, peak */
  double current;          /* A, peak */
  double voltage_derating; /* 1 */
  double current_derating; /* 1 */
  double sharing;          /* 1, further derating of voltage in series */
  double conduction;       /* s, of the current in a cycle, on average */
  double swing;            /* J/F, what a capacitance across a diode position
                              costs in a cycle */
  double worth;            /* J, that a diode more in series has to save */
} bv_stress;

/* The share of a derated rating left. */
double bv_margin(double stress, double rating, double derating);

/* The smaller one of a switch's margins of voltage and current. */
double bv_switch_margin(const bv_switch *part, const bv_stress *stress);

/* Loss of a switch in a cycle, J, without turn-off and its capacitance. */
double bv_switch_loss(const bv_switch *part, const bv_stress *stress);

/* Diodes in series, at least one, that a diode needs for the voltage. */
double bv_diode_series(const bv_diode *diode, const bv_stress *stress);

/* The voltage derating of one diode of a string of `series`. */
double bv_diode_derating(const bv_stress *stress, double series);

/* The diode whose string loses least among those rated, as many in series as it
 * needs (or `series` of them, where that is > 0), and how many; a longer string
 * has to save what its diodes are worth; none is rated for the current or the
 * given string: the one whose smaller margin is largest. NULL where the list is
 * empty. */
const bv_diode *bv_diode_pick(const bv_diode *list, size_t count,
                              const bv_stress *stress, double *series);

#endif
