/* SPDX-License-Identifier: MIT */
/* Ways of charging held against each other on one job: the same circuit
 * (supply, ratio, inductance, parts) in the same charge time.
 *
 *  boundary         every cycle from zero to the comparator level and back
 *  fixed frequency  the same, then a wait to the period 1/f; where the cycle is
 *                   longer than that (low output) as boundary
 *  two levels       continuous conduction between a lower and an upper level
 *  constant output  boundary with the level that keeps the mean rectified
 *  current          current Q/T where it is at the target (below 1 % of the
 *                   target: as at 1 %)
 *
 * Each is the envelope of charge.h over the same cycle (cycle.h) with every
 * loss of the circuit acting back on the energy that is passed on; the boundary
 * is bv_charge_envelope itself. Each way but the boundary gets the peak current
 * that charges in the time that boundary mode takes, so that what a way costs
 * shows as peak current (core), RMS current (copper), cycles and losses.
 *
 * Turn-on with current adds the recovery of the circuit's diodes
 * (bv_recovery_charge) back from output and supply, in every way: a cycle that
 * the off-time limit ends starts so, too. Two levels add the overlap (Vin + Vr)
 * i1 trise/2 out of the inductance, an upper figure, common practice.
 * Source: cycle.h and textbook waveforms of the flyback converter.
 *
 * Ranked as the trade has it (a test): dead time raises the RMS current;
 * continuous conduction lowers the peak and raises overlap and turn-on loss; a
 * constant output current takes little at the start and pays with peak current,
 * core and supply at the end, but not with losses, which are about those of the
 * boundary.
 *
 * Error against the cycles (tests): time 2e-3, loss 5e-3; at a fixed frequency
 * the turn-on takes the mean over the phases of the ring, each as long as it
 * lasts, while a charge passes few turns of it: losses 5 % either way, on
 * average 5e-3. In continuous conduction the premagnetisation of the core is
 * left out. Doublers: where the recharge pulse ends in the on-time, which a
 * small level or little swing makes short. */
#ifndef BV_MODEL_WAYS_H
#define BV_MODEL_WAYS_H

#include "model/charge.h"

typedef enum bv_way {
  BV_WAY_BOUNDARY,
  BV_WAY_FIXED_FREQUENCY,
  BV_WAY_TWO_LEVELS,
  BV_WAY_CONSTANT_OUTPUT_CURRENT,
  BV_WAY_COUNT
} bv_way;

/* The words of bv_way, NULL at the end. */
extern const char *const bv_way_words[];

typedef struct bv_ways_options {
  double frequency;   /* Hz, of the fixed frequency; 0: boundary's mean */
  double lower_share; /* 1, lower of the two levels over the upper, < 1 */
  double rise_time;   /* s, of the switch's current; 0: its fall time */
} bv_ways_options;

/* What one way costs. */
typedef struct bv_way_cost {
  int reason; /* bv_reason; the other fields are NAN unless BV_REASON_OK */
  double charge_time;          /* s, the same for all */
  double peak_current;         /* A, comparator level, the greatest */
  double lower_current;        /* A, at turn-on */
  double primary_current_max;  /* A, delay overshoot included */
  double inductor_energy;      /* J, at that current */
  double primary_rms;          /* A, over the charge */
  double secondary_rms;        /* A */
  double area_product;         /* 1, Ip (I1 + n I2) over the boundary's */
  double switch_voltage;       /* V */
  double diode_voltage;        /* V */
  double cycles;               /* 1 */
  double frequency_start;      /* Hz, at 5 % of the target or the start */
  double frequency_end;        /* Hz, at the target */
  double output_current_start; /* A, mean rectified, at 5 % or the start */
  double output_current_end;   /* A, at the target */
  double conduction_energy;    /* J, as the next nine */
  double overlap_energy;       /* both edges */
  double node_energy;
  double recovery_energy;
  double switching_energy; /* sum of the last three */
  double clamp_energy;
  double gate_energy;
  double core_energy;
  double bleeder_energy;
  double loss_energy;     /* sum of all */
  double supply_energy;   /* J, drawn from the supply */
  double residual_energy; /* J, left in inductance, node, series capacitor */
  double efficiency;      /* 1, gate drive added to the input */
  double power_ratio;     /* 1, average over final power */
} bv_way_cost;

extern const bv_fields bv_ways_options_fields, bv_way_cost_fields;

/* Fills BV_WAY_COUNT costs, by bv_way. A way that can't be has its reason; all
 * have that of the boundary where it can't be. BV_REASON_BAD_CIRCUIT also where
 * an option is out of range or a fixed frequency gives fewer than 100 cycles,
 * BV_REASON_TIME_UNREACHABLE where no peak current charges in the time. */
void bv_ways_compare(const bv_circuit *circuit, const bv_ways_options *options,
                     bv_way_cost *costs);

/* One way at the circuit's own peak current. */
void bv_way_charge(const bv_circuit *circuit, bv_way way,
                   const bv_ways_options *options, bv_way_cost *cost);

#endif
